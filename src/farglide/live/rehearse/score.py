"""Score: what a crew's choices cost, by the chances told when it made them."""

from itertools import pairwise
from typing import Final

from farglide.live.rehearse.sitting import Look
from farglide.outlook.advice import Advice, Level, ReleaseAdvice
from farglide.outlook.rehearsal import Score

_STEP_S: Final = 60.0
"""The least wait that an advice tells a chance of."""
REACTS_S: Final = 15.0
"""From *now* on the screen to the command sent: a choice; sooner nobody can send it."""
_NONE: Final = float("nan")


def score_of(looks: list[Look], sent_s: float | None, field: int, burst_s: float) -> Score:
    """Return the score of a crew that looked so often and sent the release at a moment, or never.

    `field`: to which it flew; `burst_s`: when the balloon burst, NaN: never. What comes after a
    burst is no choice between chances that were told. A choice to wait costs what the best known
    chance now is better than the best after a minute's wait, for as many minutes as pass to the
    next look; the release costs what the best known later one is better than it.
    """
    told = [(one.t_s, one.advice) for one in looks if one.advice is not None]
    if not told:
        return Score(chance_ratio=_NONE, best_ratio=_NONE, regret_ratio=_NONE,
                     due_after_launch_s=None, is_met=False)  # fmt: skip
    regret = sum(
        max(_now(a) - _waited(a), 0.0) * (later - t) / _STEP_S
        for (t, a), (later, _) in pairwise(told)
    )
    due_s = due_after_launch_s(looks)
    is_met = sent_s is not None and (due_s is None or sent_s <= due_s)
    if burst_s <= (float("inf") if sent_s is None else sent_s):
        is_met &= due_s is None or burst_s <= due_s
        return Score(chance_ratio=_NONE, best_ratio=_NONE, regret_ratio=min(regret, 1.0),
                     due_after_launch_s=due_s, is_met=is_met)  # fmt: skip
    last = told[-1][1]
    best = max(_now(last), _waited(last))
    chance = last.fields[field].chance_ratio if sent_s is not None else 0.0
    release = last.release if sent_s is not None else None
    return Score(
        told_by_after_launch_s=None if release is None else release.release_by_after_launch_s,
        opens_after_launch_s=None if release is None else _opens_s(release, last.after_launch_s),
        chance_ratio=chance,
        best_ratio=best,
        regret_ratio=min(regret + max(best - chance, 0.0), 1.0),
        due_after_launch_s=due_s,
        is_met=is_met,
    )


def due_after_launch_s(looks: list[Look]) -> float | None:
    """Return by when the release was due: as told when it last came to "now"; None: it never did.

    What is told once it is overdue is no new date. No sooner than anybody can react to it.
    """
    due_s, is_now = None, False
    for _, advice in looks:
        if advice is None or advice.release is None:
            continue
        now = advice.level is Level.NOW
        if now and not is_now:
            soonest_s = advice.after_launch_s + REACTS_S
            due_s = max(advice.release.release_by_after_launch_s, soonest_s)
        elif not now:
            due_s = None
        is_now = now
    return due_s


def _opens_s(release: ReleaseAdvice, now_s: float) -> float | None:
    """Return when the window was to open, as told; None where it was open."""
    opens_s = release.from_after_launch_s
    return None if opens_s <= now_s + _STEP_S else opens_s


def _now(advice: Advice) -> float:
    return advice.waiting[0].chance_ratio


def _waited(advice: Advice) -> float:
    """Return the best chance of who waits a minute or longer."""
    best = max(one.chance_ratio for one in advice.waiting[1:])
    release, last_s = advice.release, advice.waiting[-1].seconds
    if release is not None and release.from_after_launch_s > advice.after_launch_s + last_s:
        best = max(best, release.chance_ratio)
    return best
