"""Ways in words after the release: barriers, speeds and the last ground."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER

from farglide.outlook.advice import Advice
from farglide.outlook.after import ShutBy
from farglide.present.say.advice import answer_lines

from .samples import CLOCK


def told(question: str, advice: Advice) -> str:
    return "\n".join(answer_lines(question, advice, CLOCK))


def test_too_low_for_a_barrier_is_no() -> None:
    one = AFTER["gliding"]
    assert one.after is not None
    assert one.after.barrier is not None
    low = replace(one.after.barrier, edge_amsl_m=9000.0)
    found = told("barrier", replace(one, after=replace(one.after, barrier=low)))
    assert found.startswith("Do not try it from so low: past Gollan Wood 19 in 20.")


@pytest.mark.parametrize(
    ("by", "words"),
    [
        ("height", "too low for most winds it may meet"),
        ("packs", "the packs end too soon"),
        ("light", "the light ends too soon"),
        ("links", "command or picture fails"),
    ],
)
def test_high_enough_is_no_go_where_something_else_shuts_it(by: ShutBy, words: str) -> None:
    one = AFTER["gliding"]
    assert one.after is not None
    assert one.after.barrier is not None
    shut = replace(one.after.barrier, shut_by=by, chance_ratio=0.01)
    found = told("barrier", replace(one, after=replace(one.after, barrier=shut)))
    assert " ".join(found.split()).startswith(
        f"Do not go on, {words}: past Gollan Wood under 1 in 50."
    )


def test_no_field_is_open_ground_into_the_wind() -> None:
    assert told("putdown", AFTER["no field"]).startswith(
        "No field is in reach: open ground, into the wind."
    )


@pytest.mark.parametrize("question", ["barrier", "speed", "picture", "putdown", "power", "where"])
def test_what_should_be_down_is_gone_to(question: str) -> None:
    down = AFTER["down"]
    found = told(question, down)
    assert found.startswith("It should be down: nothing is left to steer.")
    assert "Ask park for the way there, search for where to look first." in found
    assert "in reach" not in found


def test_over_the_field_the_speed_is_a_sink() -> None:
    assert told("speed", AFTER["over"]).startswith("Lose 5.5 km before the packs end, 10:05")
