"""Due: when the feeds of a link were heard, and when a report was due and did not come."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.review.flown import Flown
from farglide.sortie.feedlinks import link_of
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been

SPELL_S: Final = 60.0
"""Fading hangs together for so long, so that it counts once; common practice, no source."""
SILENT_INTERVALS: Final = 3.0
"""A gap of more than so many usual intervals of a feed is silence: a choice."""


class Due(NamedTuple):
    """A moment after the launch at which a report came, or was due and did not."""

    after_launch_s: float
    is_heard: bool


def dues_of(flown: Flown, sortie: Sortie, link: int, been: Been) -> Iterator[Due]:
    """Yield when the feeds that come by a link were heard, and when they were due and silent.

    Each feed by itself: one that stands in for another does not hide its silence. It is silent
    beyond three of its median intervals; then each report that it owed tells, one a spell at most.
    A silence that does not end while the flight is still known otherwise tells once, since its
    sender may have failed for good. Above where a receiver stops nothing is due.
    """
    for feed, times in _times_s(flown, sortie.launch.t_s).items():
        if link_of(sortie, feed) != link:
            continue
        yield from (Due(at_s, True) for at_s in times)
        stops_m = next((one.stops_above_m for one in sortie.feeds if one.name == feed), None)
        for due_s in _owed_s(times, been):
            if stops_m is None or float(np.interp(due_s, been.t_s, been.amsl_m)) < stops_m:
                yield Due(due_s, False)


def _times_s(flown: Flown, launch_t_s: float) -> dict[str, list[float]]:
    """Return when each feed was heard after the launch, rising."""
    times = dict[str, list[float]]()
    for at_s, feed in sorted((one.t_s - launch_t_s, one.feed) for one in flown.reports):
        times.setdefault(feed, []).append(at_s)
    return times


def _owed_s(times: Sequence[float], been: Been) -> Iterator[float]:
    """Yield when reports were due and did not come."""
    if len(times) < 2 or not len(been.t_s):
        return
    every_s = float(np.median(np.diff(times)))
    step_s = max(every_s, SPELL_S)
    for at_s, next_s in pairwise(times):
        if next_s - at_s > SILENT_INTERVALS * every_s:
            yield from np.arange(at_s + 1.5 * step_s, next_s - SPELL_S, step_s).tolist()
    last_s = times[-1] + 1.5 * step_s
    if times[-1] + SILENT_INTERVALS * every_s < float(been.t_s[-1]) and last_s < been.t_s[-1]:
        yield last_s
