"""Ended: a rehearsal's flight by its glide, and how it ended."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NamedTuple

import numpy as np

from farglide.glider.release import Dropped, Start, _pull_out
from farglide.live.rehearse.lifted import CLOCK_S
from farglide.live.rehearse.trace import Trace, trace_of
from farglide.live.rehearse.truth import Truth
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.descend import Falls, one_eas, trails
from farglide.sim.fly.drops import fallen_m
from farglide.sim.fly.homing import OVER_M, Goal

_GENTLE_EAS_MPS: Final = 1.5
"""Sink of a glider left to itself, where nobody timed it: a guess."""
_LONGEST_FALL_S: Final = 6.0 * 3600.0


class How(StrEnum):
    """How a flight ended."""

    HOME = "came down on its field in time"
    SHORT = "did not reach its field"
    LATE = "came over its field too late"
    TIED_ON = "came down with the balloon still tied on"
    REMAINS = "fell with the remains of the balloon"


@dataclass(frozen=True, slots=True, kw_only=True)
class Flown:
    """A whole flight, and how it ended; NaN for a release that never was."""

    path: Trace
    glide: Trace  # as steered to the ground, were there no end to the packs
    how: How
    release_s: float
    release_amsl_m: float
    low_s: float  # over its field at the arrival height
    away_m: float  # from its field, where it lies
    price_mps: float  # what a second was worth to the crew


class Release(NamedTuple):
    """When a flight was let go, after the launch, and how high."""

    t_s: float
    amsl_m: float


def ended(truth: Truth, tied: Trace, glide: Trace, release: Release, goal: Goal) -> Flown:
    """Return a flight by its way to the release and its glide; `release`: when, and how high."""
    low_s = last_above_s(glide, goal.ground_amsl_m + truth.sortie.wish.arrival_agl_m)
    over = apart_from_m(truth, glide, low_s, goal) < OVER_M
    how = How.SHORT if not over else How.HOME if low_s <= truth.end_s else How.LATE
    flown = glide
    if glide.t_s[0] < truth.dead_s < glide.end_s:
        flown = _left_to_itself(truth, glide, goal.ground_amsl_m)
    path = tied.then(_dropped(truth, tied, glide)).then(flown)
    return Flown(
        path=path,
        glide=glide,
        how=how,
        release_s=release.t_s,
        release_amsl_m=release.amsl_m,
        low_s=low_s if over else float("nan"),
        away_m=apart_from_m(truth, path, path.end_s, goal),
        price_mps=goal.price_mps,
    )


def _dropped(truth: Truth, tied: Trace, glide: Trace) -> Trace:
    """Return the fall and the pull-out between the release and the glide, a row a second.

    By the height that the pull-out costs; over the ground it goes evenly.
    """
    begin, high_m, low_m = tied.end_s, float(tied.amsl_m[-1]), float(glide.amsl_m[0])
    craft = _craft_of(truth)
    pull = _pull_out(craft, truth.air.scene.layers, Start(high_m, 0.0), truth.best_eas_mps)
    seconds = float(glide.t_s[0]) - begin
    after_s = max(seconds - pull.level_s, 1e-3)
    after_mps = (high_m - low_m - pull.level_lost_m) / after_s
    drop = np.array([pull.level_s, pull.level_lost_m, after_s, after_mps])
    gone_s = np.arange(1.0, seconds) if seconds > 1.0 else np.empty(0)
    share = (gone_s / seconds)[:, None]
    ends = [np.array([one.north_rad[k], one.east_rad[k]]) for one, k in ((tied, -1), (glide, 0))]
    places = (1.0 - share) * ends[0] + share * ends[1]
    amsl_m = high_m - np.array([fallen_m(drop, float(one)) for one in gone_s]).reshape(-1)
    return trace_of(np.column_stack([begin + gone_s, amsl_m, places]))


def _craft_of(truth: Truth) -> Dropped:
    fleet = truth.gear.fleet
    own = fleet.drop._replace(drop_drag=float(fleet.drop_drag[0]))
    return Dropped(fleet.polar, own, float(fleet.glide_factor[0]))


def last_above_s(path: Trace, low_m: float) -> float:
    """Return when a path comes down to a height for good."""
    above = np.flatnonzero(path.amsl_m > low_m)
    if not len(above) or above[-1] + 1 >= len(path.t_s):
        return float(path.t_s[0])
    k = int(above[-1])
    share = (path.amsl_m[k] - low_m) / (path.amsl_m[k] - path.amsl_m[k + 1])
    return float(path.t_s[k] + share * (path.t_s[k + 1] - path.t_s[k]))


def _left_to_itself(truth: Truth, glide: Trace, ground_m: float) -> Trace:
    """Return a glide that nobody steers from the end of the packs on."""
    known = truth.sortie.glider.hands_off_sink_eas_mps
    sink_mps = _GENTLE_EAS_MPS if known is None else known.value
    start = np.array([[truth.dead_s, *glide.at(truth.dead_s)]])
    falls = Falls(start, one_eas(np.array([sink_mps])), ground_m)
    clock_s = np.arange(truth.dead_s, truth.dead_s + _LONGEST_FALL_S, CLOCK_S)
    trail = trails(truth.air.scene, truth.drawn.swarm, falls, clock_s)
    rows = np.stack([clock_s, *(one[0] for one in trail)], axis=1)
    return glide.until(truth.dead_s).then(trace_of(rows[np.isfinite(rows[:, 1])]))


def apart_from_m(truth: Truth, path: Trace, t_s: float, goal: Goal) -> float:
    """Return how far from its field it is at a moment."""
    at, there = path.at(t_s), Offset(goal.north_rad, goal.east_rad)
    here = Offset(at.north_rad, at.east_rad)
    return float(np.hypot(*apart_m(truth.air.scene.frame, here, there)))
