"""Way ahead: what becomes of all fields, of barriers and links, on the way that is advised."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.chances.after.closing import closer, falls_below_s
from farglide.chances.after.steering import Along
from farglide.chances.case import Case
from farglide.chances.chances import Chances, chances_in
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_at, place_of
from farglide.live.after.steer import HomeWay, home_way
from farglide.outlook.after import BarrierAhead, LandingNow, LinkEnd, ShutBy
from farglide.plan.home.homeward import must_end_by
from farglide.plan.links.hearing import margins_along
from farglide.plan.links.overland import lost_agl_m
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.rig.links import gear_of
from farglide.sim.core.states import GLIDING, States
from farglide.sim.core.tracks import Point, Trails
from farglide.sim.core.wind import mean_wind
from farglide.sim.fly.passage import Passage
from farglide.sortie.spec import Sortie

_N_MOMENTS: Final = 20
_N_CLOSER: Final = 7
_LOW_M: Final = 100.0
BY_THE_CAR_M: Final = 3000.0


class WayAhead(NamedTuple):
    """The way to one field as it was advised at a moment, and what it meets."""

    field: int
    along: Along
    barrier: BarrierAhead | None
    links: tuple[LinkEnd, ...]
    landing: LandingNow


def way_ahead(case: Case, at: Point, field: int, car: Place | None) -> WayAhead | None:
    """Return what lies ahead on the way to a field, None where there is no way down to it."""
    home = home_way(case.plain, at, field)
    if home is None:
        return None
    path = home.passage
    some = np.unique(np.linspace(0, len(path.amsl_m) - 1, _N_MOMENTS).astype(np.int64))
    chances = _chances(case, path, some)
    along = _closer(case, path, some, chances.open_ratio)
    barrier = _barrier(case, home, field, along)
    if barrier is not None:
        barrier = replace(barrier, shut_by=shut_by(case, chances, field))
    return WayAhead(
        field=field,
        along=along,
        barrier=None
        if barrier is None
        else replace(barrier, shut_by=shut_by(case, chances, field)),
        links=_links(case, path, car),
        landing=landing_at(case, field),
    )


def _chances(case: Case, path: Passage, some: IntArray) -> Chances:
    n, top_m = len(case.drawn.draws.glide_factor), float(case.drawn.air.column.edges_amsl_m[-1])
    shape = (n, len(some))
    amsl_m = np.minimum(path.amsl_m[some], top_m)
    rows = (
        np.array(np.broadcast_to(one, shape), order="C")
        for one in (path.after_s[some], amsl_m, path.north_rad[some], path.east_rad[some])
    )
    states = States._make((np.full(shape, GLIDING, np.uint8), *rows, np.zeros(shape)))
    return chances_in(case.drawn, states, case.drawn.goals)


def _closer(case: Case, path: Passage, some: IntArray, ratio: FloatArray) -> Along:
    """Return what is open along a way, its moments close together where a field stops being so."""
    wish, t_s = case.sortie.wish, path.after_s[some]
    more_s = closer(t_s, ratio, (wish.open_ratio, wish.doubtful_ratio), _N_CLOSER)
    more = np.setdiff1d(np.searchsorted(path.after_s, more_s), some)
    if len(more):
        ratio = np.concatenate([ratio, _chances(case, path, more).open_ratio])
        some = np.concatenate([some, more])
    order = np.argsort(some)
    return Along(path.after_s[some[order]], ratio[order])


def shut_by(case: Case, chances: Chances, field: int) -> ShutBy | None:
    """Return what makes the chance of a field at the first moment too low; None where it is not."""
    least = case.sortie.wish.doubtful_ratio
    if chances.open_ratio[0, field] >= least:
        return None
    if chances.reach_ratio[0, field] < least:
        return "height"
    return must_end_by(case.plain) if chances.timely_ratio[0, field] < least else "links"


def _barrier(case: Case, home: HomeWay, field: int, along: Along) -> BarrierAhead | None:
    """Return the first barrier on the way, None where none is crossed."""
    path, sortie = home.passage, case.sortie
    here = _place(case, path, 0)
    ways = barrier_ways(case, "here", here, [field])
    if not ways:
        return None
    first = min(
        ways, key=lambda one: _edge_m(here, one.stations[0].lat_deg, one.stations[0].lon_deg)
    )
    edge = first.stations[0]
    edge_m = _edge_m(here, edge.lat_deg, edge.lon_deg)
    gone_m = np.array(
        [geodesic(here, _place(case, path, k)).distance_m for k in range(len(path.amsl_m))]
    )
    k = int(np.argmax(gone_m >= edge_m)) if (gone_m >= edge_m).any() else len(gone_m) - 1
    commit_m = edge.ahead.amsl_m
    names = [one.name for one in sortie.fields]
    t_s, ratio = along
    back_s = None
    if first.behind:
        behind = ratio[:, names.index(first.behind)]
        open_ratio = sortie.wish.open_ratio
        if behind[0] >= open_ratio:
            ends_s = falls_below_s(t_s, behind, open_ratio)
            back_s = float(t_s[-1]) if ends_s is None else ends_s
    return BarrierAhead(
        barrier=first.barrier,
        kind=first.kind,
        ahead=first.ahead,
        behind=first.behind,
        chance_ratio=float(ratio[0, field]),
        edge_after_launch_s=float(path.after_s[k]),
        edge_amsl_m=float(path.amsl_m[k]),
        commit_amsl_m=None if np.isnan(commit_m) else commit_m,
        turn_back_until_after_launch_s=back_s,
    )


def _edge_m(here: Place, lat_deg: float, lon_deg: float) -> float:
    return geodesic(here, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)).distance_m


def _place(case: Case, path: Passage, k: int) -> Place:
    return place_at(case.sortie.launch, float(path.north_rad[k]), float(path.east_rad[k]), 0.0)


def _links(case: Case, path: Passage, car: Place | None) -> tuple[LinkEnd, ...]:
    """Return when command and picture end on the way, from where the car is."""
    listening, sortie = case.drawn.listening, case.sortie
    if listening is None:
        return ()
    rows = (np.ascontiguousarray(one[None, :]) for one in path[1:4])
    margins = margins_along(case.drawn, Trails(*rows))[0]
    stand = stand_of(sortie, car)
    if stand is None:
        picture = listening.rows("picture") or list(range(margins.shape[1]))
        stand = int(np.argmax(margins[:, picture].max(axis=1).min(axis=1)))
    found = []
    for purpose in listening.needed:
        best = margins[stand, listening.rows(purpose)].max(axis=0)
        gone = np.flatnonzero(best < 0.0)
        k = int(gone[0]) if len(gone) else None
        found.append(
            LinkEnd(
                purpose=purpose,
                stand=sortie.stands[stand].name,
                after_launch_s=None if k is None else float(path.after_s[k]),
                amsl_m=None if k is None else float(path.amsl_m[k]),
            )
        )
    return tuple(found)


def stand_of(sortie: Sortie, car: Place | None) -> int | None:
    """Return at which stand the car is; None on the road, or where nobody knows."""
    if car is None or not sortie.stands:
        return None
    away_m = [geodesic(car, place_of(one)).distance_m for one in sortie.stands]
    nearest = int(np.argmin(away_m))
    return nearest if away_m[nearest] < BY_THE_CAR_M else None


def landing_at(case: Case, field: int) -> LandingNow:
    """Return what is known of the last of the way over a field."""
    sortie = case.sortie
    there = sortie.fields[field]
    wind = mean_wind(case.plain.air.scene, there.amsl_m + _LOW_M)
    from_deg = float(np.degrees(np.arctan2(-wind.u_mps, -wind.v_mps)) % 360.0)
    pictures = [gear_of(one) for one in sortie.links if one.purpose == "picture"]
    lost = []
    for stand in sortie.stands if pictures else ():
        heights = [lost_agl_m(one, stand, place_of(there), case.terrain) for one in pictures]
        known = [one for one in heights if one is not None]
        lost.append((stand.name, min(known) if known else None))
    return LandingNow(
        field=there.name,
        wind_from_deg=from_deg,
        wind_mps=float(np.hypot(wind.u_mps, wind.v_mps)),
        ground_amsl_m=there.amsl_m,
        lost_picture=tuple(lost),
    )
