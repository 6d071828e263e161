"""The questions: which parts come in which order, and what they put into the file."""

from collections.abc import Sequence

import pytest

from farglide.errors import AnswerError
from farglide.flightfile.asked.dialogue import Dialogue
from farglide.flightfile.asked.questions import MOST_FIELDS, TITLES, Turn, script

from .answers import BOX, SWIFT


def dialogue(answers: Sequence[str]) -> Dialogue:
    talk = Dialogue()
    for said in answers:
        talk.answer(said)
    return talk


def turn(talk: Dialogue) -> Turn:
    found = talk.turn
    assert found is not None
    return found


@pytest.mark.slow
def test_questions_are_asked_in_order() -> None:
    asked = [turn(dialogue(SWIFT[:n])).question for n in range(len(SWIFT))]
    assert sorted(asked) == asked
    assert set(asked) == set(range(1, len(TITLES) + 1))
    assert len(TITLES) == 14
    assert dialogue(SWIFT).turn is None


def test_answers_become_the_keys_of_the_file() -> None:
    doc = dialogue(SWIFT).document
    assert doc["glider"] == {
        "mass_g": 540, "span_cm": 92, "chord_cm": 16.5, "glided_m": 420,
        "glided_from_agl_m": 50, "top_eas_kmph": 90,
    }  # fmt: skip
    assert doc["packs"] == [{"name": "all", "energy_wh": 28.86, "load_w": 6.5}]
    assert [one["name"] for one in doc["fields"]] == ["Cuesta meadow", "West pampa"]
    picture, command = doc["links"]
    assert picture["sender_antenna"] == "quarter wave"
    assert picture["sender_pointing"] == "down"
    assert command["sender_antenna"] == "yagi 9"
    assert (picture["kind"], command["kind"]) == ("analogue", "digital")
    assert doc["stands"] == [
        {"name": "launch stand", "lat_deg": -25.02, "lon_deg": -65.5, "amsl_m": 1210}
    ]
    assert "train" not in doc
    assert doc["permissions"] == {
        "airspace": "held", "aircraft": "held", "command_radio": "missing", "land": "asked",
    }  # fmt: skip
    assert doc["crew"] == {"n_releases": 20, "n_release_failures": 1}


def test_every_place_is_asked_in_the_same_order() -> None:
    talk, asked = Dialogue(), list[str]()
    home = SWIFT.index("West pampa")
    for said in (*SWIFT[:home], *SWIFT[home:-10], "Ridge", "-25.05, -65.4", "", "3", ""):
        asked.append(turn(talk).part.key)
        talk.answer(said)
    places = [i for i, key in enumerate(asked) if key == "place"]
    assert len(places) == 3
    for i in places:
        assert asked[i - 1 : i + 2] == ["name", "place", "amsl"]


def test_the_height_of_the_launch_is_needed() -> None:
    talk = dialogue(SWIFT[: SWIFT.index("1210")])
    with pytest.raises(AnswerError, match="An answer is needed here"):
        talk.answer("")


def test_a_battery_by_its_charge_or_by_its_energy() -> None:
    at = SWIFT.index("2600 mAh 11.1 V")
    for said in ("28.86 Wh", "2600mAh x 11,1V", "2600 mAh at 11.1 volts"):
        assert dialogue((*SWIFT[:at], said, "6.5")).document["packs"][0]["energy_wh"] == 28.86
    for said in ("2600 mAh", "2.6 Ah", "2600 mAh 3S"):
        with pytest.raises(AnswerError, match=r"need the volts of the pack: type like 2600 mAh"):
            dialogue((*SWIFT[:at], said))
    for said in ("2..6 mAh 3 V",):
        with pytest.raises(AnswerError):
            dialogue((*SWIFT[:at], said))
    assert "packs" not in dialogue((*SWIFT[:at], "", "")).document


def test_home_may_be_elsewhere_and_places_end() -> None:
    at = SWIFT.index("West pampa") - 1
    talk = dialogue((*SWIFT[:at], "no", "Far pampa", "-25.2, -65.3", "", ""))
    assert [one["name"] for one in talk.document["fields"]] == ["Far pampa"]
    more = [one for i in range(MOST_FIELDS - 1) for one in (f"f{i}", f"-25.2, -65.{i + 10}", "")]
    assert turn(dialogue((*SWIFT[:at], "yes", *more))).question == 10


def test_a_script_left_alone_states_nothing() -> None:
    doc: dict[str, object] = {}
    assert next(script(doc)).question == 1
    assert doc == {}


def test_more_places_are_asked_by_their_names() -> None:
    at = SWIFT.index("West pampa")
    talk = dialogue(SWIFT[:at])
    assert turn(talk).part.ask == "name of one more place to land"
    with pytest.raises(AnswerError, match="answers yes or no"):
        talk.answer("yes")
    asked = turn(dialogue((*SWIFT[: at - 1], "no"))).part.ask
    assert asked == "name of the place to land that counts as home"


def test_a_box_is_a_payload_of_the_file() -> None:
    doc = dialogue(BOX).document
    assert doc["payload"] == {"mass_g": 900, "canopy_cm": 100}
    assert not {"glider", "fields", "crew"} & doc.keys()
    (radio,) = doc["links"]
    assert (radio["name"], radio["purpose"], radio["kind"]) == ("position", "position", "digital")
    assert doc["permissions"] == {"airspace": "held"}
