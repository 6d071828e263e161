"""Reading: what entries and bare places of a ride say of the balloon, for the draws."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from farglide.chances.graded import Graded
from farglide.chances.onward import Seen
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, offsets_rad, place_of
from farglide.live.ride.alone import heights_alone, places_alone
from farglide.live.ride.state import Ride
from farglide.live.ride.task import Entered, Task
from farglide.rig.listening import AT_LAUNCH_M
from farglide.sortie.spec import Launch, Sortie
from farglide.track.drift import Been
from farglide.track.read import Direction, Heights, Points, Read
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand, Bearing, Grade, NeckLift, Overlay, RoadClosed

READ: Final = (Overlay, Bearing, AtStand, NeckLift, RoadClosed, Grade)
"""Entries that tables are made by."""
TYPED_SD_M: Final = 30.0
"""Of a height typed: what it climbs while it is read and typed. Common practice, no source."""
_BESIDE_S: Final = 60.0
"""A direction so near to a fix in time says nothing more."""
_POINTS_S: Final = 1.0


def read_of(task: Task, sortie: Sortie, place_sd_m: float) -> Read:
    """Return what was read of the balloon since its launch, beside its fixes."""
    launch = task.launch
    told_s = [fix.t_s for fix in task.fixes if fix.t_s is not None and fix.height_m is not None]
    heights = [
        (one.t_s - launch.t_s, one.amsl_m)
        for one in heights_alone(task.entries, told_s)
        if one.t_s > launch.t_s
    ]
    t_s, amsl_m = np.array(_apart(heights)).reshape(-1, 2).T
    return Read(
        Heights(t_s, amsl_m, np.full(len(t_s), TYPED_SD_M)),
        _points((*task.points, *places_alone(task.entries, told_s)), launch, place_sd_m),
        tuple(_directions(task, sortie, told_s)),
    )


def _apart(rows: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return rows in their order in time, the last one of each moment."""
    return sorted(dict(rows).items())


def _points(fixes: Sequence[Fix], launch: Launch, place_sd_m: float) -> Points:
    known = {fix.t_s - launch.t_s: fix for fix in fixes if fix.t_s is not None}
    t_s = np.array(_each_minute([one for one in known if one > 0.0]))
    lat_deg, lon_deg = (
        np.array([getattr(known[one], name) for one in t_s.tolist()]).reshape(-1)
        for name in ("lat_deg", "lon_deg")
    )
    north_rad, east_rad = offsets_rad(launch, lat_deg, lon_deg)
    return Points(t_s, north_rad, east_rad, np.full(len(t_s), place_sd_m))


def _each_minute(times_s: Sequence[float]) -> list[float]:
    """Return times a minute apart or more, and the last: more of them tell little of the wind."""
    kept = list[float]()
    for t_s in sorted(times_s):
        if not kept or t_s - kept[-1] >= _BESIDE_S:
            kept.append(t_s)
    last = max(times_s, default=None)
    return kept if last is None or kept[-1] == last else [*kept, last]


def _directions(task: Task, sortie: Sortie, told_s: Sequence[float]) -> Iterable[Direction]:
    """Yield the directions read from known places, where no fix tells more."""
    at, launch = "", task.launch
    for one in task.entries:
        entry = one.entry
        if isinstance(entry, AtStand):
            at = entry.stand
        if not isinstance(entry, Bearing) or one.t_s <= launch.t_s:
            continue
        if any(abs(one.t_s - t_s) <= _BESIDE_S for t_s in told_s):
            continue
        stand = stand_of(sortie, entry.stand or at, one, launch)
        yield Direction(
            one.t_s - launch.t_s, stand, entry.azimuth_deg, entry.elevation_deg, entry.sd_deg
        )


def stand_of(sortie: Sortie, name: str, entered: Entered, launch: Launch) -> Place:
    """Return whence something was seen: a stand that was named, else the car, else the launch."""
    for stand in sortie.stands:
        if stand.name == name:
            return place_of(stand, stand.amsl_m + stand.mast_m)
    car = entered.car
    if car is None:
        return place_of(launch)
    amsl_m = launch.amsl_m if car.height_m is None else car.height_m
    return Place(lat_deg=car.lat_deg, lon_deg=car.lon_deg, amsl_m=amsl_m)


def graded_of(task: Task, sortie: Sortie, been: Been) -> list[Graded]:
    """Return the grades typed of a picture while a fix told where the balloon was.

    At the stand where the crew said it is, else at the one beside the car, or beside the launch
    while no car is heard; grades from elsewhere are left out: their link has no budget.
    """
    at, found = "", list[Graded]()
    for one in task.entries:
        if isinstance(one.entry, AtStand):
            at = one.entry.stand
        if not isinstance(one.entry, Grade):
            continue
        t_s, stand = one.t_s - task.launch.t_s, _stand_at(sortie, at, one, task.launch)
        if stand is None or not np.abs(been.t_s - t_s).min(initial=np.inf) <= _BESIDE_S:
            continue
        amsl_m, north, east = (float(np.interp(t_s, been.t_s, z)) for z in been[1:])
        found.append(Graded(t_s, stand, amsl_m, north, east, one.entry.grade))
    return found


def _stand_at(sortie: Sortie, name: str, entered: Entered, launch: Launch) -> int | None:
    """Return at which of the stands the crew is; None where it is at none."""
    for k, stand in enumerate(sortie.stands):
        if stand.name == name:
            return k
    here = stand_of(sortie, "", entered, launch)
    away_m = [geodesic(here, place_of(one)).distance_m for one in sortie.stands]
    near = [k for k, m in enumerate(away_m) if m < AT_LAUNCH_M]
    return min(near, key=lambda k: away_m[k], default=None)


def with_point(ride: Ride, fix: Fix) -> Ride:
    """Return the ride with a place without a height, one a second at most."""
    t_s, last_s = fix.t_s or 0.0, (ride.points[-1].t_s or 0.0) if ride.points else -1e15
    if t_s - last_s < _POINTS_S:
        return ride
    return replace(ride, points=(*ride.points, fix), ahead_s=t_s - ride.at_s)


def seen_alone(seen: Seen, ride: Ride, launch: Launch) -> Seen:
    """Return where it was seen last, where a height or a place alone came later than that."""
    nan = float("nan")
    placed_s, height_s = seen.told_s
    alone, point = ride.height_alone, ride.points[-1] if ride.points else None
    if alone is not None and (t_s := alone.t_s - launch.t_s) > max(seen.after_launch_s, height_s):
        seen = Seen(t_s, alone.amsl_m, nan, nan, placed_s, t_s)
    if point is not None and (t_s := (point.t_s or 0.0) - launch.t_s) > seen.after_launch_s:
        at = offsets_rad(launch, np.array([point.lat_deg]), np.array([point.lon_deg]))
        seen = Seen(t_s, nan, float(at[0][0]), float(at[1][0]), t_s, seen.told_s[1])
    return seen
