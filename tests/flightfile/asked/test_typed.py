"""What a person types is understood, or refused with the reason and with what may be typed."""

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.parts import way
from farglide.flightfile.asked.typed import (
    limits_text,
    typed_count,
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
        ("20 km / h", {"mean_ascent_kmph": 20}),
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


def test_a_bare_number_that_would_fit_otherwise_is_asked_about() -> None:
    with pytest.raises(AnswerError) as caught:
        typed_number("5.5", FILL)
    told = "That is 5.5 g; allowed: 20 to 15000 g. Is that kilograms? Type 5.5 kg."
    assert str(caught.value) == f"{told} Or is it 5.5 m/s? Type it with its unit."
    with pytest.raises(AnswerError, match=r"Or is it 30000 m\? Type it with its unit"):
        typed_number("30000", FILL)


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


@pytest.mark.parametrize(
    "said", ["39.16, -3.02", "39.16 -3.02", "25 01 S, 65 30 W", "-3.02; 39.16", "108, -46.5"]
)
def test_a_place_is_no_name(said: str) -> None:
    with pytest.raises(AnswerError, match="is latitude and longitude, but a name is asked here"):
        typed_name(said)


@pytest.mark.parametrize("said", ["650", "650 m", "868.3 MHz", "1,2 kg"])
def test_a_number_is_no_name(said: str) -> None:
    with pytest.raises(AnswerError, match="is a number, but a name is asked here"):
        typed_name(said)


@pytest.mark.parametrize("said", ["2027-04-10", "Flight 3.2", "Point 7", "12 oaks", "S 5 north"])
def test_a_name_may_hold_numbers(said: str) -> None:
    assert typed_name(said) == said


def test_a_count_is_whole() -> None:
    assert typed_count(" 12 ", 20) == 12
    with pytest.raises(AnswerError, match="Type a whole number, 0 to 20"):
        typed_count("21", 20)
