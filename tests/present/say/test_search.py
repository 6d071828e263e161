"""A search in words: one sentence first, and each number once more where it comes from."""

from dataclasses import replace

import pytest

from farglide.present.lines import WIDTH
from farglide.present.say.search import first_sentence, search_lines

from ..search_sample import search_sample


def test_the_first_place_to_look_is_one_sentence() -> None:
    assert first_sentence(search_sample()) == (
        "Look first in segment A, 880 m north-east of the last place, near 46.5450 S 108.1090 E: "
        "it lies there with a chance of 4 in 10; 12 min to get there, look for 35 min."
    )


def test_a_segment_at_the_last_place_and_a_far_one() -> None:
    sample = search_sample()
    near = replace(sample.segments[0], lat_deg=-46.5501, lon_deg=108.1)
    words = first_sentence(replace(sample, segments=(near, *sample.segments[1:])))
    assert "segment A, at the last place, near" in words
    far = replace(near, lat_deg=-46.65)
    words = first_sentence(replace(sample, segments=(far, *sample.segments[1:])))
    assert "segment A, 11.1 km south of the last place, near" in words


def test_too_late_is_said_first() -> None:
    late = replace(search_sample(), steps=(), stop=replace(search_sample().stop, is_late=True))
    assert first_sentence(late) == (
        "Do not set out today: dusk is too near. It most likely lies within 300 m of 46.5450 S "
        "108.0980 E."
    )
    wide = replace(search_sample(), steps=(), datum=replace(search_sample().datum, radius_90_m=9e4))
    assert first_sentence(wide).startswith("It is too wide to walk yet: a bearing from the side")
    none = replace(search_sample(), steps=())
    assert first_sentence(none).startswith("No ground is worth a look before you must turn back.")
    known = replace(none, datum=replace(none.datum, radius_90_m=30.0))
    assert first_sentence(known).startswith("Go there, nothing is to be searched. It most likely")


@pytest.mark.parametrize(
    "words",
    [
        "last seen 18:20 at 46.5500 S 108.1000 E, 120 m above the ground, heading 320°",
        "its glide of 9.0 reaches 1.1 km: 0.61 km2 ahead of it, the full circle 3.66 km2",
        "half within 300 m, 9 in 10 within 900 m",
        "glider, hands off: 6 in 10, down 18:21 near 46.550 S 108.100 E",
        "bearings from Gap and Knap meet at 36 degrees",
        "In this order, 2 people from 18:30",
        "Be back at the car by 19:50, a quarter of an hour before dusk.",
        "The straight way there meets Old Wood (closed forest) after 0.5 km.",
        "In or near these segments: wires.",
        "Owner of Long Meadow: yes, not before the hay is in.",
        "To A from the road Mill Lane, 420 m aside.",
        "water, edge",
        "It came down on Mill Lake with a chance of 3 in 10; the wind then carries it east at 0.24",
        "about 19:50, between 19:20 and 20:20. Look from the bank only.",
        "Ask the owner before you enter any land.",
    ],
)
def test_all_that_carries_it_is_told(words: str) -> None:
    text = " ".join(" ".join(search_lines(search_sample())).split())
    assert words in text


def test_looks_and_segments_are_tables() -> None:
    lines = search_lines(search_sample())
    at = lines.index("In this order, 2 people from 18:30")
    assert lines[at + 1].split() == [
        "segment", "where", "cover", "way", "from", "look", "for", "found", "by", "then"
    ]  # fmt: skip
    assert lines[at + 2].split()[:3] == ["A", "880", "m"]
    assert lines[at + 2].endswith("12 min   18:42      35 min         3 in 10")
    assert lines[at + 3].split()[0] == "B"
    assert max(map(len, lines)) <= WIDTH


def test_what_is_missing_is_left_out() -> None:
    bare = replace(
        search_sample(), steps=(), segments=(), crossed=(), afloat=(), met=(), stories=(),
        n_people=1, stop=replace(search_sample().stop, turn_t_s=None),
        datum=replace(search_sample().datum, heading_deg=None, sector_area_m2=None),
    )  # fmt: skip
    text = "\n".join(search_lines(bare))
    assert "a circle of 3.66 km2" in text
    for words in ("In this order", "Be back", "Segments,", "straight way", "came down on"):
        assert words not in text


def test_many_segments_end_in_a_sum_and_still_water_is_told() -> None:
    sample = search_sample()
    many = tuple(
        replace(sample.segments[1], name=chr(65 + k), chance_ratio=0.05) for k in range(20)
    )
    calm = replace(sample.afloat[0], likely_t_s=float("nan"))
    lines = search_lines(replace(sample, segments=many, afloat=(calm,)))
    assert "  in 8 more segments: 4 in 10" in lines
    text = " ".join(" ".join(lines).split())
    assert "there is no wind to carry it ashore. Look from the bank only." in text


def test_one_person_is_told() -> None:
    lines = search_lines(replace(search_sample(), n_people=1))
    assert "In this order, one person from 18:30" in lines
