"""After in words: each question answered first, then how much, until when, why, what changes it."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER

from farglide.outlook.advice import Advice
from farglide.outlook.after import ShutBy
from farglide.present.say.advice import answer_lines
from farglide.present.say.asked import after
from farglide.present.say.asked.reply import COLUMNS
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def told(question: str, advice: Advice) -> str:
    return "\n".join(answer_lines(question, advice, CLOCK))


@pytest.mark.parametrize("name", list(AFTER))
@pytest.mark.parametrize("question", [*after.AFTER, "wait", "burst"])
def test_every_question_is_answered_at_every_stage(question: str, name: str) -> None:
    lines = answer_lines(question, AFTER[name], CLOCK)
    assert lines[0].endswith((".", "!")) or len(lines) > 1
    assert not lines[0].startswith(" ")
    assert max(map(len, lines)) <= COLUMNS


@pytest.mark.parametrize(
    ("question", "first"),
    [
        ("now", "Steer for Home strip, track 312°."),
        ("where", "23.4 km up, 46.700 S 108.500 E."),
        ("lost", "Hold the sticks still. From Hill aim at 138°, 32° up, 38 km off."),
        ("barrier", "Go on: past Gollan Wood 19 in 20."),
        ("speed", "Fly track 312°, ground speed 71 m/s, sink 11.9 m/s, down to 23.7 km."),
        ("picture", "The picture ends about 09:28, at 6.2 km, from Hill."),
        ("putdown", "On Home strip."),
        ("power", "The packs end 10:05; flown so it is down by 10:00, 5 min before."),
        ("wait", "No whole balloon carries it any more: that question is over."),
    ],
)
def test_the_answer_comes_first(question: str, first: str) -> None:
    assert answer_lines(question, AFTER["gliding"], CLOCK)[0] == first


def test_lost_tells_the_time_in_hand_and_the_ways_down() -> None:
    found = told("lost", AFTER["unsteered"])
    assert "Home strip 16:12 hands off; Far meadow more than 25 min" in " ".join(found.split())
    assert "115° and 161°" in found
    assert "Hands off (6 in 10): about 11:30, 120.0 km on" in found
    assert "farglide search" in found


def test_lost_with_all_tied_on_is_a_release_to_send() -> None:
    assert told("lost", AFTER["tied on"]).startswith("Send release, keep sending.")


def test_lost_once_it_must_be_down_is_no_time_in_hand() -> None:
    found = told("lost", AFTER["down"])
    assert found.startswith("It should be down. Mark it, then go.")
    assert "if nobody steers" not in found


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


def test_over_the_field_the_speed_is_a_sink() -> None:
    assert told("speed", AFTER["over"]).startswith("5.5 km to lose by 10:05")


def test_a_guess_tells_its_rings() -> None:
    found = told("where", AFTER["unsteered"])
    assert "5 in 10 that it is within 2.1 km of it, 9 in 10 within 5.2 km." in " ".join(
        found.split()
    )
    assert "By a fix just now." in told("where", AFTER["gliding"])
