"""Rehearsal in words: what happened and when, and how well the crew decided."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.rehearsal import Happened, Rehearsed, Score, What
from farglide.present.lines import WIDTH, blocks, wrapped
from farglide.present.say.advice import spoken
from farglide.present.say.text import FlightClock, plus_minutes, sentence
from farglide.sortie.words import chance_words, duration_words, km_text

_MEANS: Final = "All this by what was advised at each choice, not by what came of it."
_SMALL_RATIO: Final = 0.005
_INDENT: Final = 16
_WORDS: Final = {
    What.LAUNCHED: "Launched.",
    What.SENT: "Release sent, for {field}.",
    What.STUCK: "Not released: the pin does not follow.",
    What.RELEASED: "Released at {height} km, for {field}.",
    What.BURST: "The balloon bursts at {height} km.",
    What.TOPPED: "Highest at {height} km: it sinks from here.",
    What.TURNED: "Turned at {height} km, for {field}.",
    What.OVER: "Over {field}, as low as it may come.",
    What.DEAD: "The packs are empty, {height} km up: nobody steers.",
    What.DOWN: "Down.",
}


def rehearsal_lines(told: Rehearsed, clock: FlightClock, width: int = WIDTH) -> list[str]:
    """Return a whole rehearsal: what was otherwise, what happened, how it ended, and the score.

    Of the advice what it says anew: another level, another field, and the last one.
    """
    otherwise = "; ".join(told.surprises) if told.surprises else "none but what is drawn"
    if told.seed == 0 and not told.surprises:
        otherwise = "none: all as planned"
    head = wrapped(sentence(f"rehearsal, seed {told.seed}; surprises: {otherwise}"), 0, 2, width)
    events = [
        line
        for one in _told(told.happened)
        for line in wrapped(_event(one, clock), 0, _INDENT, width)
    ]
    ends = (*_ending(told), *_landing(told), *_score(told.score, clock))
    return blocks(head, events, [line for one in ends for line in wrapped(one, 0, 2, width)])


def advised_field(advice: Advice) -> str:
    """Return the field that an advice names: to release for, or to steer for; empty for none."""
    if advice.after is not None:
        return "" if advice.after.steer is None else advice.after.steer.field
    return "" if advice.release is None else advice.release.field


def _told(happened: tuple[Happened, ...]) -> Iterator[Happened]:
    """Yield all but the advice that says nothing new."""
    said = None
    advised = [one for one in happened if one.advice is not None]
    for one in happened:
        advice = one.advice
        if advice is not None:
            now = (advice.level, advised_field(advice))
            if now == said and one is not advised[-1]:
                continue
            said = now
        elif one.what is What.ADVISED:
            continue
        yield one


def _event(one: Happened, clock: FlightClock) -> str:
    at = f"{clock.local(one.after_launch_s)} {plus_minutes(one.after_launch_s):6}"
    height = km_text(one.amsl_m)
    if one.advice is not None:
        words = f"{height} km. {sentence(one.advice.level.value)} {spoken(one.advice, clock)}"
    else:
        words = _WORDS[one.what].format(height=height, field=one.field)
    return f"{at:{_INDENT - 2}}{words}"


def _ending(told: Rehearsed) -> Iterator[str]:
    how = f"It {told.how}"
    if not told.came_home:
        how += f", {told.away_m / 1000.0:.1f} km from {told.field}"
    yield sentence(how)


def _landing(told: Rehearsed) -> Iterator[str]:
    """Yield by which field it lies, and how much time was left."""
    landing = told.landing
    away = f"{landing.away_m / 1000.0:.1f} km"
    where = f"on no field: {landing.field} is nearest, {away} off"
    if landing.is_on_field:
        where = f"on {landing.field}, {away} from its middle"
    n = landing.n_turns
    turns = f", after {n} turn{'s' * (n != 1)} to another" if n else ""
    yield sentence(f"it lies {where}{turns}")
    if isfinite(told.release_amsl_m):
        hand = duration_words(abs(landing.in_hand_s))
        late = "before" if landing.in_hand_s >= 0.0 else "after"
        yield f"It was there {hand} {late} the packs or the light would end it."


def _score(score: Score, clock: FlightClock) -> Iterator[str]:
    if score.due_after_launch_s is not None:
        met = "met" if score.is_met else "missed"
        yield f"Release by {clock.local(score.due_after_launch_s)}: {met}."
    elif score.opens_after_launch_s is not None:
        opens = clock.local(score.opens_after_launch_s)
        yield f"Release sent before its window: that was to open at {opens}, as told then."
    elif score.told_by_after_launch_s is not None:
        by = clock.local(score.told_by_after_launch_s)
        yield f"Release sent in time: it was due by {by}, as told then."
    else:
        yield "It never came to a release that was due."
    if not isfinite(score.regret_ratio):
        yield "Nothing could be advised."
        return
    if not isfinite(score.best_ratio):
        yield "The balloon burst before the release was sent."
    else:
        said, best = chance_words(score.chance_ratio), chance_words(score.best_ratio)
        yield f"The chance when it was sent: {said}. The best known then: {best}."
    yield sentence(f"the crew's choices cost {regret_words(score.regret_ratio)}")
    yield _MEANS


def regret_words(ratio: float) -> str:
    """Return what choices cost, in points of the chance.

    >>> regret_words(0.004), regret_words(0.062)
    ('nothing of the chance', '6 points in 100 of the chance')
    """
    if ratio < _SMALL_RATIO:
        return "nothing of the chance"
    n = round(100.0 * ratio)
    return f"{n} point{'s' * (n != 1)} in 100 of the chance"
