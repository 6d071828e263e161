"""After in words: each question answered first, then how much, until when, why, what changes it."""

import pytest
from tests.live.advice import AFTER

from farglide.outlook.advice import Advice
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
