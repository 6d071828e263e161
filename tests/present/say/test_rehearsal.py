"""A rehearsal in words: what happened and when, what was told anew, and the score."""

from dataclasses import replace
from typing import Any

import pytest

from farglide.outlook.advice import Level
from farglide.outlook.rehearsal import Happened, Landing, Rehearsed, Score, What
from farglide.present.say.rehearsal import rehearsal_lines
from farglide.present.say.text import FlightClock

from .test_advice import ADVICE

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")  # 08:00
NOW = replace(ADVICE, level=Level.NOW, after_launch_s=4620.0)
SCORE = Score(
    chance_ratio=0.93, best_ratio=0.95, regret_ratio=0.034, due_after_launch_s=4660.0, is_met=True
)


LANDING = Landing(field="Home strip", away_m=120.0, is_on_field=True, in_hand_s=540.0, n_turns=0)


def event(minutes: float, what: What, height_m: float, **others: Any) -> Happened:
    return Happened(
        after_launch_s=60.0 * minutes, what=what, amsl_m=height_m,
        **{"field": "Home strip", **others},
    )  # fmt: skip


TOLD = Rehearsed(
    surprises=("a hole in the balloon from T+38", "the car 15 min late"),
    seed=4,
    crew="advice",
    field="Home strip",
    happened=(
        event(0.0, What.LAUNCHED, 240.0),
        event(60.0, What.ADVISED, 19_500.0, advice=ADVICE),
        event(65.0, What.ADVISED, 21_000.0, advice=ADVICE),
        event(70.0, What.ADVISED, 22_000.0),
        event(77.0, What.ADVISED, 27_400.0, advice=NOW),
        event(77.0, What.SENT, 27_400.0),
        event(77.2, What.STUCK, 27_450.0),
        event(78.0, What.RELEASED, 27_600.0),
        event(115.0, What.OVER, 540.0),
        event(116.0, What.DOWN, 240.0),
    ),
    came_home=True,
    how="came down on its field in time",
    away_m=0.0,
    release_amsl_m=27_600.0,
    landing=LANDING,
    score=SCORE,
)


def text(told: Rehearsed) -> str:
    return "\n".join(rehearsal_lines(told, CLOCK))


def test_what_happened_is_told_in_time_and_nothing_twice() -> None:
    told = text(TOLD)
    assert told.startswith("Rehearsal, seed 4; surprises: a hole in the balloon from T+38; the car")
    lines = [line for line in told.splitlines() if line[:1].isdigit()]
    assert [line[:11].split() for line in lines] == [
        ["08:00", "T+0"], ["09:00", "T+60"], ["09:17", "T+77"], ["09:17", "T+77"],
        ["09:17", "T+77"], ["09:18", "T+78"], ["09:55", "T+115"], ["09:56", "T+116"],
    ]  # fmt: skip
    assert "Watch. Wait. Window opens at 23.2 kilometres, about 09:08." in lines[1]
    assert "Now. Release now, for Home strip." in lines[2]
    assert lines[3].endswith("Release sent, for Home strip.")
    assert lines[4].endswith("Not released: the pin does not follow.")
    assert lines[5].endswith("Released at 27.6 km, for Home strip.")
    assert all(len(line) <= 100 for line in told.splitlines())


def test_how_it_ended_and_the_score() -> None:
    ending = text(TOLD).split("\n\n")[-1].splitlines()
    assert ending == [
        "It came down on its field in time.",
        "It lies on Home strip, 0.1 km from its middle.",
        "It was there 9 min before the packs or the light would end it.",
        "Release by 09:17: met.",
        "The chance when it was sent: 9 in 10. The best known then: 19 in 20.",
        "The crew's choices cost 3 points in 100 of the chance.",
        "All this by what was advised at each choice, not by what came of it.",
    ]


def test_lines_are_as_wide_as_the_terminal() -> None:
    assert max(map(len, rehearsal_lines(TOLD, CLOCK, 80))) <= 80
    assert max(map(len, rehearsal_lines(TOLD, CLOCK))) > 80


@pytest.mark.parametrize(
    ("score", "words"),
    [
        ({"is_met": False}, "Release by 09:17: missed."),
        ({"due_after_launch_s": None}, "It never came to a release that was due."),
        (
            {"due_after_launch_s": None, "told_by_after_launch_s": 4660.0},
            "Release sent in time: it was due by 09:17, as told then.",
        ),
        (
            {
                "due_after_launch_s": None,
                "told_by_after_launch_s": 4660.0,
                "opens_after_launch_s": 4500.0,
            },
            "Release sent before its window: that was to open at 09:15, as told then.",
        ),
        (
            {"due_after_launch_s": None, "best_ratio": float("nan")},
            "It never came to a release that was due.",
        ),
        ({"regret_ratio": 0.001}, "The crew's choices cost nothing of the chance."),
        ({"regret_ratio": 0.01}, "The crew's choices cost 1 point in 100 of the chance."),
        ({"best_ratio": float("nan")}, "The balloon burst before the release was sent."),
        ({"regret_ratio": float("nan")}, "Nothing could be advised."),
    ],
)
def test_other_scores(score: dict[str, Any], words: str) -> None:
    assert words in text(replace(TOLD, score=replace(SCORE, **score))).splitlines()


def test_other_ends() -> None:
    short = replace(TOLD, came_home=False, how="did not reach its field", away_m=4260.0)
    assert "It did not reach its field, 4.3 km from Home strip." in text(short)
    events = (
        event(70.0, What.BURST, 22_100.0),
        event(95.0, What.TOPPED, 24_500.0),
        event(130.0, What.DEAD, 17_200.0),
    )
    told = text(replace(TOLD, happened=events, surprises=(), seed=0))
    assert told.startswith("Rehearsal, seed 0; surprises: none: all as planned.")
    assert "The balloon bursts at 22.1 km." in told
    assert "Highest at 24.5 km: it sinks from here." in told
    assert "The packs are empty, 17.2 km up: nobody steers." in told
    assert "surprises: none but what is drawn." in text(replace(TOLD, surprises=()))


def test_how_it_landed_is_told_beside_how_it_was_decided() -> None:
    told = text(TOLD)
    assert "It lies on Home strip, 0.1 km from its middle." in told
    assert "It was there 9 min before the packs or the light would end it." in told
    off = replace(LANDING, is_on_field=False, away_m=7300.0, in_hand_s=-120.0, n_turns=2)
    told = text(replace(TOLD, landing=off))
    assert (
        "It lies on no field: Home strip is nearest, 7.3 km off, after 2 turns to another." in told
    )
    assert "2 min after the packs or the light would end it." in told
    assert "packs or the light" not in text(replace(TOLD, release_amsl_m=float("nan")))
