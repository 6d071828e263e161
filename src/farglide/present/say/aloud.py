"""Aloud: which sentence is spoken when, out of a stream of advices.

A more urgent one breaks off what is being said; any other waits until that has ended, and is then
said as it is by then: nothing stale is queued. No sentence comes again within 20 s. What is to be
done at once is said again while it stands, all else once, until it changes. While somebody types,
only what is urgent is said. After the release other sentences come, by priorities of their own.
Source: priorities and times are common practice, no source.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Final, NamedTuple

from farglide.outlook.advice import Advice, Level
from farglide.outlook.freshness import Freshness
from farglide.present.say.advice import spoken
from farglide.present.say.aloudafter import after_utterances
from farglide.present.say.spokenafter import MOST_SPOKEN
from farglide.present.say.text import FlightClock, duration_words, sentence
from farglide.present.say.utterance import AGAIN_S, NEVER_S, Urgency, Utterance
from farglide.sortie.words import km_text

UNKNOWN_AGAIN_S: Final = 120.0
_COUNTS_MIN: Final = (10, 5, 2, 1)
_WITHIN_S: Final = 30.0
_NUMBERS: Final = {10: "ten", 5: "five", 2: "two", 1: "one"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """What is being said until when, and when each key and each sentence was begun last."""

    saying: Utterance | None = None
    until_s: float = -NEVER_S
    keys_s: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    words_s: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))


class Said(NamedTuple):
    """A sentence that is begun now; `breaks_off`: another that was not at its end."""

    words: str
    breaks_off: bool


def said_next(
    speech: Speech, advice: Advice, clock: FlightClock, is_typing: bool = False
) -> tuple[Speech, Said | None]:
    """Return what is begun at the moment of an advice, if anything, and the speech behind it.

    A pure function of the stream of advices: the same ones are told the same.
    """
    at_s = advice.after_launch_s
    saying = speech.saying if at_s < speech.until_s else None
    for one in sorted(utterances(advice, clock), key=lambda each: each.urgency):
        if saying is not None and one.urgency >= saying.urgency:
            break
        if is_typing and one.urgency is not Urgency.NOW:
            break
        if _is_due(speech, one, at_s):
            after = replace(
                speech,
                saying=one,
                until_s=at_s + one.takes_s,
                keys_s=MappingProxyType({**speech.keys_s, one.key: at_s}),
                words_s=MappingProxyType({**speech.words_s, one.words: at_s}),
            )
            return after, Said(one.words, saying is not None)
    return speech, None


def utterances(advice: Advice, clock: FlightClock) -> Iterator[Utterance]:
    """Yield all that may be said of an advice, each in nine words or fewer."""
    words = spoken(advice, clock)
    if advice.after is not None:
        yield from after_utterances(advice, advice.after)
    elif advice.level is Level.NOW:
        yield Utterance(Urgency.NOW, words, f"now {words}", AGAIN_S)
    else:
        yield Utterance(Urgency.WINDOW, words, f"state {' '.join(words.split()[:2])}")
        yield from _count(advice)
    changed = sentence(advice.changed)
    if changed and len(changed.split()) <= MOST_SPOKEN:
        yield Utterance(Urgency.NEWS, changed, f"changed {changed}")
    yield from _age(advice)


def _count(advice: Advice) -> Iterator[Utterance]:
    """Yield the count to the end of the release, at ten, five, two minutes and one."""
    release = advice.release
    if release is None:
        return
    left_s = release.release_by_after_launch_s - advice.after_launch_s
    for minutes in _COUNTS_MIN:
        if 60.0 * minutes - _WITHIN_S < left_s <= 60.0 * minutes:
            unit = "minute" if minutes == 1 else "minutes"
            words = f"Release within {_NUMBERS[minutes]} {unit}."
            yield Utterance(Urgency.WINDOW, words, f"count {minutes}", 10.0 * _WITHIN_S)


def _age(advice: Advice) -> Iterator[Utterance]:
    """Yield that the last fix is old, again while nothing is known any more."""
    if advice.data not in (Freshness.GUESSED, Freshness.UNKNOWN):
        return
    age = duration_words(advice.after_launch_s - advice.place.seen_after_launch_s)
    words = f"No position for {age}. Ring {km_text(advice.place.most_within_m)} kilometres."
    again_s = UNKNOWN_AGAIN_S if advice.data is Freshness.UNKNOWN else NEVER_S
    yield Utterance(Urgency.NEWS, words, f"age {advice.data.value}", again_s)


def _is_due(speech: Speech, one: Utterance, at_s: float) -> bool:
    """Tell whether a sentence may be said again by now, and has something new by its key."""
    if at_s - speech.words_s.get(one.words, -NEVER_S) < AGAIN_S:
        return False
    last_s = speech.keys_s.get(one.key)
    if last_s is None or at_s - last_s >= one.again_s:
        return True
    is_state = one.key.startswith("state ")
    others = (t_s for key, t_s in speech.keys_s.items() if key.startswith(("state ", "now ")))
    return is_state and max(others) > last_s  # it was otherwise in between
