"""What a person types is understood, or refused with the reason and with what may be typed."""

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.parts import way
from farglide.flightfile.asked.typed import (
    limits_text,
    typed_moment,
    typed_name,
    typed_number,
    typed_place,
    typed_word,
)
from farglide.flightfile.sections.balloon import BALLOON
from farglide.flightfile.sections.glider import GLIDER

MASS = way(GLIDER, "mass", "g")
FILL = (
    way(BALLOON, "neck_lift", "g"), way(BALLOON, "mean_ascent", "mps"),
    way(BALLOON, "burst_height_amsl", "m"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("said", "keys"),
    [
        ("680", {"mass_g": 680}),
        ("680 g", {"mass_g": 680}),
        ("0,68 kg", {"mass_kg": 0.68}),
        ("1 200 grams", {"mass_g": 1200}),
        ("0.68Kilograms", {"mass_kg": 0.68}),
    ],
)
def test_a_number_is_taken_in_the_unit_that_is_typed(said: str, keys: object) -> None:
    assert typed_number(said, (MASS,)) == keys


@pytest.mark.parametrize(
    ("said", "keys"),
    [
        ("1500", {"neck_lift_g": 1500}),
        ("5.5 m/s", {"mean_ascent_mps": 5.5}),
        ("20 km/h", {"mean_ascent_kmph": 20}),
        ("30 km", {"burst_height_amsl_m": 30000}),
        ("98000 ft", {"burst_height_amsl_ft": 98000}),
    ],
)
def test_the_unit_tells_which_of_several_ways_is_meant(said: str, keys: object) -> None:
    assert typed_number(said, FILL) == keys


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("heavy", '"heavy" is no number. Type one, with its unit behind it or bare.'),
        ("680 kg", "That is 680 kg; allowed: 0.03 to 25 kg. Is that grams? Type 680 g."),
        ("680 lb", '"lb" is no unit of this. Allowed: g or kg.'),
        ("-5", "That is -5 g; allowed: 30 to 25000 g."),
    ],
)
def test_a_number_that_cannot_be_is_refused_with_the_reason(said: str, why: str) -> None:
    with pytest.raises(AnswerError) as caught:
        typed_number(said, (MASS,))
    assert str(caught.value) == why


def test_limits_are_shown_in_the_unit_that_is_taken() -> None:
    assert limits_text(MASS) == "30 to 25000 g; kg too"
    assert limits_text(way(GLIDER, "top_eas", "kmph")) == "14.4 to 360 km/h; m/s or kt too"


@pytest.mark.parametrize(
    "said",
    [
        "-25.0167, -65.5", "-25.0167 -65.5", "25.0167 S, 65.5 W", "S25.0167 W65.5",
        "25,0167 S; 65,5 W", "25 01.002 S 65 30 W", "25°01'0.12\"S 65°30'00\"W",
    ],
)  # fmt: skip
def test_a_place_is_read_as_maps_and_receivers_write_it(said: str) -> None:
    found = typed_place(said)
    assert found["lat_deg"] == pytest.approx(-25.0167, abs=1e-6)
    assert found["lon_deg"] == -65.5


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("somewhere", "is no place"),
        ("47", "is no place"),
        ("108, -46.5", "Are they swapped? The latitude comes first."),
        ("95, 200", "allowed: -88 to 88 and -180 to 180."),
        ("0, 0", "no place was given"),
    ],
)
def test_what_is_no_place_is_refused(said: str, why: str) -> None:
    with pytest.raises(AnswerError, match=why.replace("?", r"\?")):
        typed_place(said)


@pytest.mark.parametrize(
    ("said", "when"),
    [
        ("2027-06-15 09:30 +02:00", "2027-06-15T09:30:00+02:00"),
        ("2027-06-15T09:30:00+02:00", "2027-06-15T09:30:00+02:00"),
        ("2027-06-15 09:30 Z", "2027-06-15T09:30:00+00:00"),
        ("2027-06-15 09:30 UTC", "2027-06-15T09:30:00+00:00"),
        ("2027-03-14 10:20 America/Argentina/Salta", "2027-03-14T10:20:00-03:00"),
        # just after the clocks of Vienna went forward, by the offset that held then
        ("2027-03-28 03:10 Europe/Vienna", "2027-03-28T03:10:00+02:00"),
    ],
)
def test_a_moment_with_its_zone(said: str, when: str) -> None:
    moment = typed_moment(said)["launch_at"]
    assert getattr(moment, "isoformat", str)() == when


@pytest.mark.parametrize(
    "said", ["tomorrow", "2027-06-15 09:30", "15.6.2027 09:30 Z", "2027-13-01 1:00 Z"]
)
def test_no_moment_is_refused_with_an_example(said: str) -> None:
    with pytest.raises(AnswerError, match=r"is no date with time and zone\. Type it like 2027-06"):
        typed_moment(said)


def test_words_are_taken_by_their_beginning() -> None:
    assert typed_word(" HEL ", ("helium", "hydrogen")) == "helium"
    for said in ("h", "methane", ""):
        with pytest.raises(AnswerError, match="none of these: helium, hydrogen"):
            typed_word(said, ("helium", "hydrogen"))


def test_names_are_one_line() -> None:
    assert typed_name("  Cuesta   meadow ") == "Cuesta meadow"
    for said in ("", "a\x1bb", "x" * 61):
        with pytest.raises(AnswerError, match="a name of 1 to 60 characters"):
            typed_name(said)
