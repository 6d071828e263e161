"""Call: what an air traffic unit is told, with levels and times as they now are."""

from typing import Final

import numpy as np

from farglide.air.standard import pressure_altitude_m, standard_air
from farglide.chances.onward import last_moment
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_at, place_of
from farglide.live.asked.situation import Situation
from farglide.outlook.ascent import Spread
from farglide.outlook.asked import CallNow, LevelPass
from farglide.plan.ascent import spread_of
from farglide.plan.faults.unsteered import unsteered
from farglide.sim.core.rule import passages_s

FOOT_M: Final = 0.3048
_LEVEL_M: Final = 100.0 * FOOT_M
_EVERY: Final = 100
_HIGHEST: Final = 600
"""Above flight level 600 hardly anybody is told of (common practice, no source)."""
_MOST: Final = 4
_SPAN_S: Final = 60.0
_NEVER: Final = Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))


def call_now(asked: Situation) -> CallNow:
    """Return what the call card holds now. Source of levels: pressure altitude, ISO 2533."""
    place, launch, release = asked.place, asked.launch, asked.advice.release
    field = asked.sortie.fields[asked.aim]
    line = geodesic(place_of(launch, 0.0), place_of(place, 0.0))
    here, later = _soon(asked)
    moved = geodesic(place_of(here, 0.0), place_of(later, 0.0))
    by_s = None if release is None else release.release_by_after_launch_s
    home = asked.way_home(max(by_s, asked.now_s), asked.aim) if by_s is not None else None
    now, burst = asked.advice.place, asked.advice.burst
    return CallNow(
        after_launch_s=asked.now_s,
        lat_deg=now.lat_deg,
        lon_deg=now.lon_deg,
        within_m=now.most_within_m,
        from_launch_m=line.distance_m,
        from_launch_deg=line.azimuth_deg,
        amsl_m=now.amsl_m,
        level=level_at(asked, now.amsl_m),
        climb_mps=(later.amsl_m - here.amsl_m) / _SPAN_S,
        moves_to_deg=moved.azimuth_deg,
        moves_mps=moved.distance_m / _SPAN_S,
        levels=_levels(asked),
        field=field.name,
        field_lat_deg=field.lat_deg,
        field_lon_deg=field.lon_deg,
        let_go_after_launch_s=None if release is None or by_s is None
        else (max(release.from_after_launch_s, asked.now_s), max(by_s, asked.now_s)),
        down_after_launch_s=None if home is None else home.down_s,
        burst_after_launch_s=_NEVER if burst is None else burst.after_launch_s,
        unsteered=unsteered(asked.ensemble, _moment(asked)),
        airspace=dict(asked.sortie.permissions).get("airspace", "missing"),
    )  # fmt: skip


def _soon(asked: Situation) -> tuple[Place, Place]:
    """Return where the middle of those draws is, now and soon, that are in the air at both."""
    rows = asked.states([asked.now_s, asked.now_s + _SPAN_S])[2:5]
    both = np.isfinite(rows).all(axis=(0, 2))
    if not both.any():
        return asked.place, asked.place
    amsl_m, north_rad, east_rad = (np.median(one[both], axis=0).tolist() for one in rows)
    now, soon = (
        place_at(asked.launch, north, east, high)
        for north, east, high in zip(north_rad, east_rad, amsl_m, strict=True)
    )
    return now, soon


def level_at(asked: Situation, amsl_m: float) -> int:
    """Return the flight level at a height in this air, to whole hundreds of feet."""
    column = asked.ensemble.air.column
    log_pa = np.interp(amsl_m, column.middles_amsl_m, np.log(column.layers.p_pa))
    return round(pressure_altitude_m(float(np.exp(log_pa))) / _LEVEL_M)


def height_of_m(asked: Situation, level: int) -> float:
    """Return how high a flight level lies above sea level in this air."""
    column = asked.ensemble.air.column
    log_pa = np.log(standard_air(level * _LEVEL_M).p_pa)
    return float(np.interp(-log_pa, -np.log(column.layers.p_pa), column.middles_amsl_m))


def _levels(asked: Situation) -> tuple[LevelPass, ...]:
    """Return when the next levels are passed, of the draws that get there."""
    tracks, now = asked.ensemble.climbs.tracks, level_at(asked, asked.advice.place.amsl_m)
    first = (now // _EVERY + 1) * _EVERY
    ahead = list(range(first, _HIGHEST + 1, _EVERY))[:_MOST]
    if not ahead:
        return ()
    heights = np.array([height_of_m(asked, one) for one in ahead])
    passed_s = passages_s(tracks.amsl_m, tracks.step_s, heights)
    known = [k for k in range(len(ahead)) if not np.isnan(passed_s[:, k]).all()]
    return tuple(
        LevelPass(level=ahead[k], amsl_m=float(heights[k]),
                  after_launch_s=spread_of(passed_s[:, k]))
        for k in known
    )  # fmt: skip


def _moment(asked: Situation) -> int:
    """Return now on the clock of the draws' climbs, where all of them are in the air."""
    step_s = asked.ensemble.climbs.tracks.step_s
    return min(int(np.ceil(asked.now_s / step_s)), last_moment(asked.ensemble))
