"""Suspicion: one fix held against what was before, the other feeds and the flight.

A suspicion is shown and kept; whether the fix counts is for the filter, and for the crew.
"""

from collections.abc import Sequence
from typing import NamedTuple

from farglide.track.oddfeet import feet_suspicions
from farglide.track.oddheight import jump_suspicions, limit_suspicions, pair_suspicions
from farglide.track.oddpair import disagreement_suspicions, mixed_up_suspicions
from farglide.track.oddplace import clock_suspicions, place_suspicions, speed_suspicions
from farglide.track.received import Flown, Oddity, Received, Suspicion

_EXPLAINS_ALL = (Oddity.SWAPPED, Oddity.ELSEWHERE)


class _Own(NamedTuple):
    """Fixes of the same feed: the last believed one, and one a minute old or more."""

    before: Received | None
    earlier: Received | None


def suspicions_of(
    now: Received,
    before: Received | None,
    others: Sequence[Received],
    flight: Flown,
    earlier: Received | None = None,
) -> tuple[Suspicion, ...]:
    """Return what is odd about a fix, the gravest first; nothing for a sound one.

    `before`: the last fix of the same feed that was believed, None for the first; `others`: the
    last fix of each other feed; `earlier`: a believed one of the same feed, a
    minute old or more. A place that is not of this flight explains all else; a height of
    another kind explains a jump in it.
    """
    odd = list(place_suspicions(now, flight))
    if not any(one.oddity in _EXPLAINS_ALL for one in odd):
        odd += _beside(now, _Own(before, earlier), others, flight)
    return (*odd, *clock_suspicions(now))


def _beside(
    now: Received,
    own: _Own,
    others: Sequence[Received],
    flight: Flown,
) -> list[Suspicion]:
    """Return what is odd beside the fix before it and the other feeds."""
    before, earlier = own
    odd = list(mixed_up_suspicions(now, tuple(others), flight))
    is_mixed_up = bool(odd)
    odd += limit_suspicions(now)
    odd += feet_suspicions(now, before, earlier, flight)
    if before is not None:
        jumps = list(jump_suspicions(now, before, flight))
        odd += jumps or list(speed_suspicions(now, before))
    for other in others:
        if other.source.of == now.source.of and not is_mixed_up:
            odd += pair_suspicions(now, other, flight)
            odd += disagreement_suspicions(now, other)
    return odd
