"""Crew: how long it took from seeing to the moving pin, and when the release was due."""

from typing import Final, NamedTuple

from farglide.outlook.advice import Advice, Level, ReleaseAdvice
from farglide.outlook.review import Choice
from farglide.review.flown import Flown, What
from farglide.review.pooled import Shown

_SD_S: Final = 2.0
"""Of a mark that is typed, or of a look that comes each second: common practice, no source."""
_ANSWERS_S: Final = 120.0
"""What is sent later than this after "now" was no answer to it: a choice."""


class ReactionShown(NamedTuple):
    """How long it took, and in which parts; None for what nobody marked."""

    whole: Shown | None
    now_to_sent_s: float | None
    sent_to_pin_s: float | None


def reaction_shown(flown: Flown, launch_t_s: float, released_s: float | None) -> ReactionShown:
    """Return how long a crew took from seeing that it is time to the moving pin.

    From the first advice "now" of its last spell to the release; where no such advice came before
    the command, from the command on, and the whole is at least that. After a pin that stuck
    nothing is told: retries are no reaction; nor of a rehearsal in another time than life's, which
    no person reacts in. `released_s`: after the launch, by the fixes.
    """
    sent = flown.first(What.SENT)
    is_hurried = flown.speed not in (None, 1.0)
    if sent is None or is_hurried or flown.first(What.STUCK) is not None:
        return ReactionShown(None, None, None)
    sent_s = sent.t_s - launch_t_s
    marked = flown.first(What.RELEASED)
    pin_s = released_s if marked is None else marked.t_s - launch_t_s
    if pin_s is None or pin_s < sent_s:
        return ReactionShown(None, None, None)
    now_s = _now_s(flown.advices, sent_s)
    after_s = pin_s - sent_s
    if now_s is None:
        return ReactionShown(Shown(after_s, _SD_S, at_least=True), None, after_s)
    return ReactionShown(Shown(pin_s - now_s, _SD_S), sent_s - now_s, after_s)


def choice_of(flown: Flown, launch_t_s: float, released_s: float | None) -> Choice | None:
    """Return what the crew chose, judged by what was known then; None without advice.

    Due is the release-by that was told when an advice first said "now", else the last told before
    the command, or before it was let go where nobody marked one; the opening of the window is told
    by the same advice. The best chance is the best of a release then, or of waiting as advised.
    """
    if not flown.advices:
        return None
    sent = flown.first(What.SENT)
    sent_s = None if sent is None else sent.t_s - launch_t_s
    if sent_s is not None and released_s is not None:
        sent_s = min(sent_s, released_s)  # typed after it came loose
    at_s = released_s if sent_s is None else sent_s
    known = [one for one in flown.advices if at_s is None or one.after_launch_s <= at_s + 1.0]
    if not known:
        return None
    last = known[-1]
    field = (sent.field if sent else "") or _aimed_at(last)
    chances = [one.chance_ratio for one in last.fields if one.name == field]
    best = [one.chance_ratio for one in last.fields]
    best += [last.release.chance_ratio] if last.release else []
    due = _due(known)
    return Choice(
        due_after_launch_s=None if due is None else due.release_by_after_launch_s,
        from_after_launch_s=None if due is None else due.from_after_launch_s,
        sent_after_launch_s=sent_s,
        released_after_launch_s=released_s,
        field=field,
        chance_ratio=chances[0] if chances and at_s is not None else None,
        best_ratio=max(best, default=None),
    )


def _aimed_at(advice: Advice) -> str:
    if advice.release is not None:
        return advice.release.field
    return advice.fields[0].name if advice.fields else ""


def _due(known: list[Advice]) -> ReleaseAdvice | None:
    """Return the release that was told first as due now, else the last one told."""
    releases = [(one.level, one.release) for one in known if one.release is not None]
    first = next((one for level, one in releases if level is Level.NOW), None)
    return first if first is not None else (releases[-1][1] if releases else None)


def _now_s(advices: tuple[Advice, ...], sent_s: float) -> float | None:
    """Return when an advice first said "now" in the spell that was still on when it was sent."""
    began_s: float | None = None
    for one in advices:
        if one.after_launch_s > sent_s + 0.5:
            break
        if one.level is Level.NOW:
            began_s = one.after_launch_s if began_s is None else began_s
        else:
            began_s = None
    return began_s if began_s is not None and sent_s - began_s <= _ANSWERS_S else None
