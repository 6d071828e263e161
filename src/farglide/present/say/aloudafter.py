"""Aloud after the release: what may be spoken once no whole balloon carries it.

What is to be done at once comes first: with all tied on the release and the seconds of the field,
then turning back before a barrier. Counts to what closes come at fixed times; where to steer is
said when it is another field, and every two minutes with the track of then. Source: priorities and
times are common practice, no source.
"""

from collections.abc import Iterable, Iterator
from typing import Final

from farglide.outlook.advice import Advice, FieldNow, Level
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.spokenafter import (
    MOST_SPOKEN,
    is_high_enough,
    is_low,
    is_over,
    spoken_after,
)
from farglide.present.say.text import bearing_text
from farglide.present.say.utterance import AGAIN_S, NEVER_S, Urgency, Utterance

STEER_AGAIN_S: Final = 120.0
LAST_M: Final = 300.0
_BURST_S: Final = (300.0, 240.0, 180.0, 120.0, 90.0, 60.0, 40.0, 30.0, 20.0, 10.0)
_TURN_S: Final = (120.0, 60.0, 30.0)
_SHUT_S: Final = (120.0, 60.0)
_PICTURE_S: Final = (60.0,)
_LATE_S: Final = 9.0
"""A count is said within so long of its moment, or not at all."""


def after_utterances(advice: Advice, after: AfterNow) -> Iterator[Utterance]:
    """Yield all that may be said of an advice after the release, each in nine words or fewer."""
    if advice.stage is Stage.TIED_ON:
        yield from _tied(advice, after)
        return
    yield from _turning_back(advice, after)
    yield from _last(advice, after)
    if not _may_turn_back(advice, after):
        yield _state(advice, after)
    yield from _shut_soon(advice, after)
    yield from _picture(advice, after)


def _tied(advice: Advice, after: AfterNow) -> Iterator[Utterance]:
    """Yield the release to be sent, and between its repeats the seconds that a field has left."""
    yield Utterance(Urgency.NOW, spoken_after(advice, after), "now release", AGAIN_S)
    for one in advice.fields:
        if one.state != "shut" and one.shuts_after_launch_s is not None:
            left_s = one.shuts_after_launch_s - advice.after_launch_s
            for seconds in _begun(_BURST_S, left_s):
                words = f"{one.name}: {seconds:.0f} seconds."
                yield Utterance(Urgency.NOW, words, f"count {one.name} {seconds:.0f}")
            return


def _turning_back(advice: Advice, after: AfterNow) -> Iterator[Utterance]:
    """Yield that it has to turn back before a barrier, or how long that is still open."""
    barrier = after.barrier
    if barrier is None or barrier.turn_back_until_after_launch_s is None:
        return
    left_s = barrier.turn_back_until_after_launch_s - advice.after_launch_s
    if not is_high_enough(barrier) and 0.0 <= left_s <= _TURN_S[0]:
        words = _short(f"Turn back now, for {barrier.behind}.", "Turn back now.")
        yield Utterance(Urgency.NOW, words, "now turn back", AGAIN_S)
        return
    for seconds in _begun(_TURN_S, left_s):
        words = f"Last {seconds:.0f} seconds to turn back."
        yield Utterance(Urgency.WINDOW, words, f"turn back {seconds:.0f}")


def _may_turn_back(advice: Advice, after: AfterNow) -> bool:
    """Tell whether the last two minutes run in which it can turn back: else nothing is said."""
    by_s = None if after.barrier is None else after.barrier.turn_back_until_after_launch_s
    return by_s is not None and 0.0 <= by_s - advice.after_launch_s <= _TURN_S[0]


def _last(advice: Advice, after: AfterNow) -> Iterator[Utterance]:
    """Yield that the last of the way begins, once: after it nobody listens to anything else."""
    landing = after.landing
    if landing is None or after.steer is None or not is_low(advice, after):
        return
    if advice.place.amsl_m - landing.ground_amsl_m < LAST_M:
        words = f"Last 300 metres. Into wind, from {bearing_text(landing.wind_from_deg)}."
        yield Utterance(Urgency.WINDOW, words, "last")


def _state(advice: Advice, after: AfterNow) -> Utterance:
    """Return the sentence of the advice: where to steer, or what else is to be done."""
    words, steer = spoken_after(advice, after), after.steer
    if advice.level is Level.NOW:
        return Utterance(Urgency.NOW, words, f"now {advice.stage}", AGAIN_S)
    if steer is None or advice.stage is not Stage.GLIDING:
        return Utterance(Urgency.WINDOW, words, f"state {advice.stage}")
    if is_low(advice, after) or is_over(steer):
        where = "low" if is_low(advice, after) else "over"
        return Utterance(Urgency.WINDOW, words, f"state {where} {steer.field}")
    return Utterance(Urgency.WINDOW, words, f"state steer {steer.field}", STEER_AGAIN_S)


def _shut_soon(advice: Advice, after: AfterNow) -> Iterator[Utterance]:
    """Yield that the field steered for closes soon, unless somebody steers."""
    one = _aim(advice, after)
    if one is None or one.state == "shut" or one.shuts_after_launch_s is None:
        return
    for seconds in _begun(_SHUT_S, one.shuts_after_launch_s - advice.after_launch_s):
        many = {120.0: "two minutes", 60.0: "one minute"}[seconds]
        words = _short(f"{one.name} shuts in {many} unless steered.",
                       f"Your field shuts in {many} unless steered.")  # fmt: skip
        yield Utterance(Urgency.WINDOW, words, f"shut {one.name} {seconds:.0f}")


def _picture(advice: Advice, after: AfterNow) -> Iterator[Utterance]:
    """Yield that the picture ends within a minute."""
    for link in after.links:
        if link.purpose == "picture" and link.after_launch_s is not None:
            for seconds in _begun(_PICTURE_S, link.after_launch_s - advice.after_launch_s):
                words = "Picture ends within a minute. Set it straight."
                yield Utterance(Urgency.NEWS, words, f"picture {seconds:.0f}", NEVER_S)


def _aim(advice: Advice, after: AfterNow) -> FieldNow | None:
    steer = after.steer
    if steer is None or is_over(steer) or is_low(advice, after):
        return None
    return next((one for one in advice.fields if one.name == steer.field), None)


def _begun(counts_s: Iterable[float], left_s: float) -> Iterator[float]:
    """Yield the count that has just begun, if one has."""
    for seconds in counts_s:
        if seconds - _LATE_S < left_s <= seconds:
            yield seconds


def _short(*words: str) -> str:
    """Return the first that is short enough to be heard once and kept."""
    return next(one for one in words if len(one.split()) <= MOST_SPOKEN)
