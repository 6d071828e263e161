"""Promised: what was told of a climb before it was flown, side by side with how it came."""

from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.outlook.review import Promise, Within
from farglide.review.parted import Parted
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Offset, apart_m
from farglide.track.drift import Been

PLAN: Final = "plan"
HEIGHTS_M: Final = (5000.0, 10_000.0, 15_000.0, 20_000.0, 25_000.0)
_SHARES: Final = (0.05, 0.25, 0.5, 0.75, 0.95)
_FEWEST_DRAWS: Final = 0.9
"""A range is told where at least so many of the draws come to a height."""


class Told(NamedTuple):
    """A middle, and the ranges of 5 and of 9 in 10; None where none was told."""

    middle: float
    half: tuple[float, float] | None
    most: tuple[float, float] | None


class Came(NamedTuple):
    """How it came; `at_least`: it was seen so far, and its own value is larger."""

    value: float | None
    at_least: bool = False


def climb_promises(planned: Ensemble, flight: Parted) -> Iterator[Promise]:
    """Yield when and where the plan had the balloon at whole heights, and how it came there."""
    for height_m in HEIGHTS_M:
        came = _passed(planned.air.scene, flight.carried, height_m)
        if came is None:
            return
        rows = _passages(planned, height_m)
        if np.isfinite(rows[:, 0]).mean() < _FEWEST_DRAWS:
            return
        rows = rows[np.isfinite(rows[:, 0])]
        km = f"{height_m / 1000.0:.0f} km"
        yield promise(f"time at {km}", PLAN, "s", told_of(rows[:, 0]), Came(came[0]))
        middle = np.median(rows[:, 1:], axis=0)
        away = np.hypot(*(rows[:, 1:] - middle).T)
        rings = (0.0, float(np.quantile(away, 0.5))), (0.0, float(np.quantile(away, 0.9)))
        miss = float(np.hypot(*(np.array(came[1:]) - middle)))
        yield promise(f"off its place at {km}", PLAN, "m", Told(0.0, *rings), Came(miss))


def burst_promises(planned: Ensemble, flight: Parted) -> Iterator[Promise]:
    """Yield where and when the plan had the burst: seen, or not by when it was let go."""
    if flight.top_m is None or flight.until_s is None or flight.ended == "topped":
        return
    burst, at_least = planned.climbs.burst, flight.ended != "burst"
    for what, unit, values, came in (
        ("burst height", "m", burst.amsl_m, flight.top_m),
        ("burst time", "s", burst.after_launch_s, flight.until_s),
    ):
        known = values[np.isfinite(values)]
        if len(known) >= _FEWEST_DRAWS * len(values):
            yield promise(what, PLAN, unit, told_of(known), Came(came, at_least))


def told_of(values: FloatArray) -> Told:
    """Return the middle of drawn values, and the ranges that hold 5 and 9 in 10 of them."""
    p5, p25, p50, p75, p95 = np.quantile(values, _SHARES).tolist()
    return Told(p50, (p25, p75), (p5, p95))


def promise(what: str, told_by: str, unit: str, told: Told, came: Came) -> Promise:
    """Return a number as it was told and as it came."""
    half, most = told.half or (None, None), told.most or (None, None)
    return Promise(
        what=what,
        told=told_by,
        unit=unit,
        middle=told.middle,
        half_low=half[0],
        half_high=half[1],
        most_low=most[0],
        most_high=most[1],
        came=came.value,
        at_least=came.at_least,
        within=within(told, came),
    )


def within(told: Told, came: Came) -> Within:
    """Return in which range it came.

    What is only known to be larger than a value is outside where that lies above the range of 9 in
    10; below that nobody knows.
    """
    if came.value is None or told.most is None:
        return "unjudged"
    if came.at_least:
        return "outside" if came.value > told.most[1] else "unjudged"
    if told.half is not None and told.half[0] <= came.value <= told.half[1]:
        return "half"
    return "most" if told.most[0] <= came.value <= told.most[1] else "outside"


def _passed(scene: Scene, carried: Been, height_m: float) -> tuple[float, float, float] | None:
    """Return when and where (m north and east of the launch) a flight passed a height going up."""
    if not len(carried.t_s) or carried.amsl_m[0] > height_m:
        return None
    k = int(np.argmax(carried.amsl_m >= height_m))
    if carried.amsl_m[k] < height_m:
        return None
    k = max(k, 1)
    low_m, high_m = carried.amsl_m[k - 1], carried.amsl_m[k]
    share = 1.0 if high_m <= low_m else float((height_m - low_m) / (high_m - low_m))
    t, north, east = (float(one[k - 1] + share * (one[k] - one[k - 1]))
                      for one in (carried.t_s, carried.north_rad, carried.east_rad))  # fmt: skip
    return t, *north_east_m(scene, north, east)


def _passages(planned: Ensemble, height_m: float) -> FloatArray:
    """Return when and where each draw passes a height, (n_draws, 3), NaN for those that do not."""
    tracks = planned.climbs.tracks
    clock = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    found = np.full((len(tracks.amsl_m), 3), np.nan)
    for i, (z, north, east) in enumerate(zip(*tracks.places, strict=True)):
        known = np.flatnonzero(np.isfinite(z))
        rising = np.maximum.accumulate(z[known])
        if len(known) < 2 or not rising[0] <= height_m <= rising[-1]:
            continue
        at = [float(np.interp(height_m, rising, row[known])) for row in (clock, north, east)]
        found[i] = at[0], *north_east_m(planned.air.scene, at[1], at[2])
    return found


def north_east_m(scene: Scene, north_rad: float, east_rad: float) -> tuple[float, float]:
    """Return metres north and east of the launch."""
    away = apart_m(scene.frame, Offset(0.0, 0.0), Offset(north_rad, east_rad))
    return float(away.north_m), float(away.east_m)
