"""Onward: an informed flight with all that takes long, and where its draws are at any moment."""

from math import inf, isnan
from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.chances.chances import Beforehand, Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import Informed
from farglide.errors import InputError
from farglide.outlook.advice import BurstAhead, FillNow, LeakNow, PictureOff, ReleaseAdvice
from farglide.sim.core.states import CLIMBING, States


class Seen(NamedTuple):
    """Where the balloon was seen last, in radians from the launch, and when after it.

    NaN for what was not seen then: there each draw keeps its own. `placed_s`, `height_s`: when
    that was seen last, after the launch; NaN: with the rest.
    """

    after_launch_s: float
    amsl_m: float
    north_rad: float
    east_rad: float
    placed_s: float = float("nan")
    height_s: float = float("nan")

    @property
    def told_s(self) -> tuple[float, float]:
        """Return when place and height were seen last."""
        at_s = self.after_launch_s
        placed_s, height_s = (at_s if isnan(one) else one for one in (self.placed_s, self.height_s))
        return placed_s, height_s


class Advisable(NamedTuple):
    """An informed flight with all that takes long: what is asked of it later takes little."""

    known: Informed
    ahead: Chances  # of releases at even moments from then on, by the clock
    common: Beforehand  # what questions of its fields have in common
    release: ReleaseAdvice | None
    burst: BurstAhead
    leak: LeakNow
    fill: FillNow | None = None
    picture: PictureOff | None = None
    beam_deg: float = inf  # the narrowest that is aimed


def seen_of(known: Informed, seen_s: float) -> Seen:
    """Return where the middle draw is at a moment: at the fix that all of them go on from.

    Where something else was read later, each draw goes on from where that has it.
    """
    if known.from_s > seen_s:
        nothing = float("nan"), float("nan"), float("nan")
        return Seen(known.from_s, *nothing, known.placed_s, known.height_s)
    states = _states(known.ensemble, np.array([seen_s]))
    return Seen(seen_s, *(float(np.nanmedian(one)) for one in states[2:5]))


def last_s(ensemble: Ensemble) -> float:
    """Return until when any draw's balloon is in the air, burst or not."""
    return ensemble.climbs.tracks.step_s * float(last_moment(ensemble))


def last_moment(ensemble: Ensemble) -> int:
    """Return the last moment on the clock of the climbs at which any draw is in the air.

    Raises InputError where none is at any: what was read is no balloon that climbs.
    """
    aloft = np.flatnonzero(np.isfinite(ensemble.climbs.tracks.amsl_m).any(axis=0))
    if not len(aloft):
        remedy = "Is it down? Mark what happened; what lies is looked for with farglide search."
        raise InputError("the climb", "over in every draw", "a balloon in the air", remedy)
    return int(aloft[-1])


def states_from(ensemble: Ensemble, seen: Seen, t_s: FloatArray) -> States:
    """Return the draws at any moments, each moved to where the balloon was seen.

    A share that has burst is that of the balloons whole then.
    """
    was = _states(ensemble, np.array([seen.after_launch_s]))
    then = _states(ensemble, t_s)
    amsl_m, north_rad, east_rad = (
        np.ascontiguousarray(one if isnan(here) else one + (here - old))
        for one, old, here in zip(then[2:5], was[2:5], seen[1:4], strict=True)
    )
    amsl_m = np.minimum(amsl_m, float(ensemble.air.column.edges_amsl_m[-1]))
    whole = np.maximum(1.0 - was.burst_ratio, 1e-9)
    burst = np.clip((then.burst_ratio - was.burst_ratio) / whole, 0.0, 1.0)
    return States(
        then.kind, then.after_launch_s, amsl_m, north_rad, east_rad, np.ascontiguousarray(burst)
    )


def _states(ensemble: Ensemble, t_s: FloatArray) -> States:
    """Return the draws at any moments of their climb, between those of its clock."""
    climbs = ensemble.climbs
    tracks = climbs.tracks
    at = np.clip(t_s / tracks.step_s, 0.0, tracks.amsl_m.shape[1] - 1.0)
    low = np.clip(at.astype(np.int64), 0, tracks.amsl_m.shape[1] - 3)
    rows = [_between(one, low, at - low) for one in (*tracks.places, climbs.burst_share)]
    rows[-1] = np.maximum(rows[-1], 0.0)
    told = np.ascontiguousarray(np.broadcast_to(t_s, rows[0].shape))
    return States(np.full(rows[0].shape, CLIMBING, np.uint8), told, *rows)


def _between(rows: FloatArray, low: IntArray, share: FloatArray) -> FloatArray:
    """Return rows between two of their columns; what begins amid them goes on backward as then."""
    first, second, third = rows[:, low], rows[:, low + 1], rows[:, low + 2]
    first = np.where(np.isnan(first), 2.0 * second - third, first)
    return np.ascontiguousarray(first + share * (second - first))
