"""Radios, their antennas, and the stand: which parts come, and what they put into the file."""

import pytest

from farglide.errors import AnswerError

from .answers import SWIFT
from .test_questions import dialogue, turn


def test_what_has_no_radio_is_asked_for_no_stand() -> None:
    at = SWIFT.index("2370")
    talk = dialogue((*SWIFT[:at], "", ""))
    assert turn(talk).question == 13
    assert "stands" not in talk.document


def test_a_beam_on_the_glider_is_asked_which_way_it_points() -> None:
    at = SWIFT.index("quarter wave")
    talk = dialogue((*SWIFT[:at], "patch 8"))
    assert turn(talk).part.key == "sender_pointing"
    with pytest.raises(AnswerError, match="An answer is needed here: down or up or level"):
        talk.answer("")
    assert turn(dialogue((*SWIFT[:at], "dipole"))).part.key == "receiver_antenna"


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("helix", 'A helix is taken here with its number, like "helix 12"'),
        ("an aerial", "is no word for an antenna"),
        ("measured", "is taken here with its number"),
        ("yagi 999", "A yagi of 999 is not taken"),
    ],
)
def test_an_antenna_is_a_word_with_its_number(said: str, why: str) -> None:
    talk = dialogue(SWIFT[: SWIFT.index("quarter wave")])
    with pytest.raises(AnswerError, match=why):
        talk.answer(said)


def test_another_stand_has_its_own_name_and_drive() -> None:
    (stand,) = dialogue((*SWIFT[:-10], "Ridge", "-25.05, -65.4", "1400", "3", "35")).document[
        "stands"
    ]
    assert stand == {
        "name": "Ridge", "lat_deg": -25.05, "lon_deg": -65.4, "amsl_m": 1400, "mast_m": 3,
        "drive_min": 35,
    }  # fmt: skip


@pytest.mark.parametrize("said", ["2 dBi", "2dBi", "quarter-wave", "Yagi 9 dBi"])
def test_an_antenna_by_its_gain_or_as_it_is_often_written(said: str) -> None:
    talk = dialogue((*SWIFT[: SWIFT.index("helix 12")], said, "-91"))
    told = {"2 dBi": "stated gain 2 dbi", "2dBi": "stated gain 2dbi"}
    found = talk.document["links"][0]["receiver_antenna"]
    assert found == told.get(said, said.lower().replace("-", " "))


@pytest.mark.parametrize("said", ["", "at the launch", "Launch", "cuesta meadow"])
def test_a_stand_at_the_launch_is_not_asked_for_its_place(said: str) -> None:
    talk = dialogue((*SWIFT[:-10], said))
    assert turn(talk).part.key == "mast"


@pytest.mark.parametrize(("said", "power_mw"), [("25 dBm", 316.2278), ("27,5dBm", 562.3413)])
def test_a_power_may_be_a_level(said: str, power_mw: float) -> None:
    # a decibel is a tenth of a power of ten, and 0 dBm are 1 mW
    at = SWIFT.index("800", SWIFT.index("2370"))
    talk = dialogue((*SWIFT[:at], said, *SWIFT[at + 1 :]))
    assert talk.document["links"][0]["power_mw"] == power_mw


@pytest.mark.parametrize("said", ["99 dBm", "-60 dBm", "100 dBm"])
def test_a_level_that_no_transmitter_has_is_refused(said: str) -> None:
    at = SWIFT.index("800", SWIFT.index("2370"))
    with pytest.raises(
        AnswerError, match=r"That is .* mW; allowed: 0\.001 to 100000 mW|no unit of this"
    ):
        dialogue((*SWIFT[:at], said))
