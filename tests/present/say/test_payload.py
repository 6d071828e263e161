"""A payload's flight in lines: the landing first, then what carries it."""

import re
from dataclasses import replace

from farglide.outlook.payload import PayloadOutlook
from farglide.present.say.payload import payload_lines

from ..payload_sample import payload_sample, without_words


def text(outlook: PayloadOutlook) -> str:
    return " ".join(" ".join(payload_lines(outlook)).split())


def test_the_landing_comes_first_after_what_is_missing() -> None:
    lines = payload_lines(payload_sample())
    assert lines[:4] == [
        "NOT CLEARED", "  missing: balloon in the airspace", "LOOK AGAIN", "  Is that meant?",
    ] or lines[0] == "NOT CLEARED"  # fmt: skip
    told = text(payload_sample())
    assert "71 km east of the launch, near 25.093 S 64.803 W; 9 in 10 land within" in told
    assert "The chance that it comes down in the lake (water) is " in told
    assert told.endswith("The crew and the authorities decide; your eyes have the last word.")
    assert max(map(len, lines)) <= 100


def test_every_part_of_the_flight_has_its_sentence() -> None:
    told = text(payload_sample())
    for words in (
        "The fall takes 44 min; it meets the ground, at 1 210 m, with 5.5 m/s.",
        "In b (gorge): 1 in 20.",
        "Most land in the dark.",
        "Hang 1 600 g on the neck: it must just float. That takes 2.50 m³ of hydrogen.",
        "Flat ground.",
    ):
        assert words in told.replace("\u2009", " "), words


def test_one_scale_of_chances_and_the_gas_that_is_used() -> None:
    told = text(payload_sample())
    assert not re.search(r"\bhalf\b|in ten|\beven\b|\d %|in hand|\bodds\b", told, re.IGNORECASE)
    assert "Hydrogen burns" in told
    assert "Helium" not in told
    helium = text(replace(payload_sample(), gas="helium"))
    assert "Helium displaces air" in helium
    assert "Hydrogen" not in helium


def test_all_of_it_has_levels_and_where_to_aim_besides() -> None:
    screen, full = payload_lines(payload_sample()), payload_lines(payload_sample(), full=True)
    assert len(screen) <= 60
    assert max(map(len, full)) <= 100
    more = [line for line in full if line not in screen]
    assert "Levels" in more
    assert any(line.startswith("Where to aim from Wether Knap") for line in more)
    assert any("FL330" in line for line in more)
    assert set(screen) <= set(full)


def test_a_stand_is_not_told_of_before_somebody_is_there() -> None:
    made = payload_sample()
    link = made.links[0]
    late = replace(link.stands[0], manned_after_launch_s=1e6)
    told = text(replace(made, links=(replace(link, stands=(late,)),)))
    assert "picture at Wether Knap: nobody is there before it is down" in told


def test_what_is_not_there_is_left_out() -> None:
    told = text(without_words())
    assert "NOT CLEARED" not in told
    assert "LOOK AGAIN" not in told
    assert "of unknown age" in told
    assert "dark" not in told


def test_links_tell_where_they_are_weakest_and_where_they_end() -> None:
    made = payload_sample()
    link = made.links[0]
    stand = link.stands[0]
    quiet = tuple(replace(point, p50=-5.0) for point in stand.margin_db)
    loud = tuple(replace(point, p50=9.0) for point in stand.margin_db)
    ends = (*loud[:-1], quiet[-1])
    for points, words in (
        (quiet, "it is hardly ever received there"),
        (loud, "received down to the ground or nearly so"),
        (ends, "lost at "),
    ):
        other = replace(link, stands=(replace(stand, margin_db=points),))
        assert words in text(replace(made, links=(other,))), words
    assert "state [[stands]] to" in text(replace(made, links=(replace(link, stands=()),)))
