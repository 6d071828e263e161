"""Beginning: as what a flight came loose, by its marks or by how it sinks, and where it was."""

from bisect import bisect_right
from collections.abc import Mapping
from math import pi, radians, remainder
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.onward import Seen, states_from
from farglide.live.ride.stage import carried_last, left_by, marked_t_s, packs_empty
from farglide.live.ride.state import Ride
from farglide.track.filter.begun import (
    Last,
    after_burst,
    after_end,
    after_release,
    begun,
    whatever_sinks,
)
from farglide.track.filter.particles import Laws, Particles, Story
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.typed.entries import MarkKind

_LATE_S: Final = 30.0
"""After a longer gap between two fixes a release is not looked for in all of it."""


class Beginning(NamedTuple):
    """What a flight came loose as, by its marks, where, and how much later at the most.

    `left`: the last fix that the balloon carried; None: none told, so it was where the tables have
    it; `t_s`: when, UTC.
    """

    left: Fix | None
    t_s: float
    stories: Mapping[Story, float]
    late_s: float


class Carried(NamedTuple):
    """The balloon as it is best known: its draws, and where it was seen last."""

    ensemble: Ensemble
    seen: Seen


def beginning(ride: Ride) -> Beginning | None:
    """Return how a flight came loose; None before it did, or where nobody knows where it was."""
    burst_t_s = marked_t_s(ride, MarkKind.BURST)
    released_t_s = marked_t_s(ride, MarkKind.RELEASED)
    if burst_t_s is not None and (released_t_s is None or burst_t_s <= released_t_s):
        return _began(ride, carried_last(ride, burst_t_s), burst_t_s, after_burst())
    if released_t_s is not None:
        return _released(ride, released_t_s)
    if ride.loosed is not None:
        return _began(ride, ride.loosed.left, 0.0, whatever_sinks())
    return None


def _released(ride: Ride, marked_t_s: float) -> Beginning:
    """Return how it came loose by a mark of its release.

    A fall that began long before the mark may have been a burst that a release was sent after: its
    fixes tell which, and the mark is taken in where it came.
    """
    left = carried_last(ride, marked_t_s)
    fell = left is not None and left is not left_by(ride.fixes(), marked_t_s)
    return _began(ride, left, marked_t_s, whatever_sinks() if fell else after_release())


def _began(
    ride: Ride, left: Fix | None, marked_t_s: float, stories: Mapping[Story, float]
) -> Beginning:
    t_s = marked_t_s if left is None or left.t_s is None else left.t_s
    is_burst = set(stories) == {Story.TANGLED}
    late_s = 0.0 if left is None or is_burst else _late_s(ride, left)
    return Beginning(left, t_s, _steerable(ride, t_s, stories), late_s)


def _late_s(ride: Ride, left: Fix) -> float:
    """Return how long after the last fix before a release it may have been: up to the next fix."""
    heard, left_s = heard_fixes(ride), left.t_s or 0.0
    next_at = bisect_right(heard, left_s, key=lambda one: one.t_s or 0.0)
    return min((heard[next_at].t_s or 0.0) - left_s, _LATE_S) if next_at < len(heard) else 0.0


def _steerable(ride: Ride, t_s: float, stories: Mapping[Story, float]) -> Mapping[Story, float]:
    """Return the stories that a flight can have come loose as: none steered on empty packs."""
    if Story.GLIDING not in stories or not packs_empty(ride, t_s):
        return stories
    alone, ends = dict(stories), after_end()
    ratio = alone.pop(Story.GLIDING) / sum(ends.values())
    for story, weight in ends.items():
        alone[story] = alone.get(story, 0.0) + ratio * weight
    return alone


def begun_as(
    laws: Laws, found: Beginning, aimed: int | None, carried: Carried | None
) -> Particles | None:
    """Return the stories of a flight as it came loose; None where nobody knows where it was.

    `aimed`: the field that it makes for; `carried`: by what it is told where no fix is.
    """
    if found.left is not None:
        last = _last(laws, found.left)._replace(late_s=found.late_s)
    elif carried is not None:
        last = carried_at(carried, found.t_s - laws.launch_t_s)
    else:
        return None
    return begun(laws, last, found.stories, aimed)


def carried_at(carried: Carried, after_launch_s: float) -> Last:
    """Return where the draws have a balloon at a moment, all of them and in the middle."""
    places = states_from(carried.ensemble, carried.seen, np.array([after_launch_s]))[2:5]
    by_draw = np.column_stack([one[:, 0] for one in places])
    middle = np.nanmedian(by_draw, axis=0)
    by_draw = np.where(np.isfinite(by_draw), by_draw, middle)  # what is not aloft any more
    amsl_m, north, east = middle.tolist()
    return Last(after_launch_s, amsl_m, north, east, by_draw=by_draw)


def _last(laws: Laws, fix: Fix) -> Last:
    frame = laws.movers.scene.frame
    return Last(
        (fix.t_s or 0.0) - laws.launch_t_s,
        amsl_m(fix) or 0.0,
        *_offsets(frame.lat_rad, frame.lon_rad, fix),
    )


def _offsets(lat_rad: float, lon_rad: float, fix: Fix) -> tuple[float, float]:
    """Return radians north and east from a launch to a fix."""
    return radians(fix.lat_deg) - lat_rad, remainder(radians(fix.lon_deg) - lon_rad, 2.0 * pi)


def heard_fixes(ride: Ride) -> tuple[Fix, ...]:
    """Return the fixes that feeds told, the newest among them."""
    kept = ride.kept
    if ride.newest is not None and (not kept or kept[-1] is not ride.newest):
        kept = (*kept, ride.newest)
    return kept
