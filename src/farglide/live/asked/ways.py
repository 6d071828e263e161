"""Ways home, let go now: what to fly, past which barriers, and where to put it otherwise."""

import math
from dataclasses import replace

import numpy as np

from farglide.chances.heights import chances_by_clock
from farglide.chances.onward import last_moment
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_at, place_of
from farglide.live.asked.situation import Situation
from farglide.outlook.askedways import BarrierNow, PutdownNow, SpeedNow
from farglide.outlook.barriers import BarrierWay
from farglide.plan.home.homeward import Homeward
from farglide.plan.home.sideview import speed_rows
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.places.placeview import outlandings


def speed_now(asked: Situation) -> SpeedNow:
    """Return what to fly to the field, let go now, without errors in the air that was learnt."""
    flight, level = asked.way_home(asked.now_s, asked.aim), asked.levelled(asked.now_s)
    wind, now = asked.wind(level.amsl_m), asked.advice.fields[asked.aim]
    return SpeedNow(
        after_launch_s=asked.now_s,
        field=asked.field_name,
        state=now.state,
        chance_ratio=now.chance_ratio,
        is_in_time=flight is not None and flight.timely is None,
        level_after_s=level.t_s - asked.now_s,
        level_amsl_m=level.amsl_m,
        spare_m=None if flight is None else flight.spare_m,
        wind_from_deg=wind.from_deg,
        wind_mps=wind.mps,
        rows=() if flight is None else speed_rows(asked.plain, flight),
    )


def barrier_now(asked: Situation) -> BarrierNow:
    """Return the barriers on the straight way to the field, and the heights needed there.

    To be asked of some hundred draws: many heights are asked of each.
    """
    level, flight = asked.levelled(asked.now_s), asked.way_home(asked.now_s, asked.aim)
    here = place_at(asked.launch, level.north_rad, level.east_rad, level.amsl_m)
    case = asked.case()
    case = replace(case, drawn=replace(case.drawn, goals=asked.ensemble.goals))
    ways = barrier_ways(case, "here", here, (asked.aim,))
    return BarrierNow(
        after_launch_s=asked.now_s,
        field=asked.field_name,
        chance_ratio=asked.advice.fields[asked.aim].chance_ratio,
        level_amsl_m=level.amsl_m,
        over_edge_amsl_m=tuple(_over_edge_m(asked, here, one, flight) for one in ways),
        ways=ways,
    )


def putdown_now(asked: Situation) -> PutdownNow:
    """Return where else it can be put, let go now. To be asked of some hundred draws."""
    tracks = asked.ensemble.climbs.tracks
    first = min(math.ceil(asked.now_s / tracks.step_s - 1e-9), last_moment(asked.ensemble))
    chances = chances_by_clock(asked.ensemble, np.array([first]))
    best = max(asked.advice.fields, key=lambda one: one.chance_ratio)
    return PutdownNow(
        after_launch_s=asked.now_s,
        lat_deg=asked.place.lat_deg,
        lon_deg=asked.place.lon_deg,
        best_field=best.name,
        best_ratio=best.chance_ratio,
        otherwise=outlandings(asked.case(), chances),
    )


def _over_edge_m(
    asked: Situation, here: Place, way: BarrierWay, flight: Homeward | None
) -> float | None:
    """Return how high a glide on the flattest way comes over the edge first met."""
    if flight is None:
        return None
    edge, passage = way.stations[0], flight.flattest
    there = Place(lat_deg=edge.lat_deg, lon_deg=edge.lon_deg, amsl_m=0.0)
    away_m = geodesic(place_of(here, 0.0), there).distance_m
    gone_m = passage.short_m[0] - passage.short_m
    return float(np.interp(away_m, gone_m, passage.amsl_m))
