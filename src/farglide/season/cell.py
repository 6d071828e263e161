"""Cell: one launch time, spot and fill as values, out of draws that were asked from there."""

from typing import Final

import numpy as np

from farglide.air.gridcolumn import sounding_over
from farglide.chances.case import median_offset
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import shut_s
from farglide.chances.trial import median_burst_s
from farglide.earth.geodesy import geodesic
from farglide.earth.state import place_at, place_of
from farglide.earth.sun import dusk_t_s
from farglide.outlook.season import SeasonCell
from farglide.plan.ascent import burst_outlook
from farglide.plan.notes import ground_wind_mps
from farglide.season.crossed import crossed_by
from farglide.season.flown import Asked
from farglide.season.limiting import Weather, why_not

_LOW_M: Final = 50.0
"""So far above a field the wind is told in which it lands."""


def cell_of(asked: Asked, spot: int) -> SeasonCell:
    """Return the cell of a spot, by its number."""
    ensemble, chances = asked.ensemble, asked.chances
    sortie, burst, counts = ensemble.sortie, burst_outlook(ensemble), asked.counts
    field = _wished(asked)
    window, burst_s = asked.windows[field], median_burst_s(ensemble)
    is_worth = counts[field] >= sortie.wish.least_ratio
    release_s = window.release_by_s if is_worth else burst_s
    down_s = _down_s(ensemble, release_s, float(chances.amsl_m[window.best]), field)
    weather, landing = _weather(ensemble), _landing_wind(ensemble, field, down_s)
    why, dusk_s = why_not(asked, field, weather), _dusk_s(ensemble, field)
    launch = place_of(sortie.launch, 0.0)
    at_burst = median_offset(ensemble, _moment(ensemble, burst_s))
    drift = geodesic(launch, place_at(sortie.launch, *at_burst, 0.0))
    told = chances.is_told
    return SeasonCell(
        launch_t_s=sortie.launch.t_s,
        spot=spot,
        neck_lift_kg=sortie.balloon.neck_lift_kg.value,
        home_ratio=counts[0],
        any_field_ratio=max(counts),
        home_any_height_ratio=_any_height(asked),
        height_ratio=weather.height_ratio,
        shut_s=shut_s(chances, 0, sortie.wish, burst_s) if told.any() else burst_s,
        release_by_after_launch_s=window.release_by_s if is_worth else None,
        burst_amsl_m=burst.height_amsl_m,
        burst_after_launch_s=burst.after_launch_s,
        drift_m=drift.distance_m,
        drift_deg=drift.azimuth_deg,
        crossed=crossed_by(asked, min(release_s, burst_s)),
        light_left_s=None if dusk_s is None else dusk_s - down_s,
        ground_wind_mps=weather.ground_mps,
        landing_wind_mps=float(np.hypot(*landing)),
        landing_wind_from_deg=float(np.degrees(np.arctan2(-landing[0], -landing[1])) % 360.0),
        strongest_mps=weather.strongest_mps,
        strongest_amsl_m=weather.strongest_amsl_m,
        limit=why.limit,
        reason=why.words,
    )


def _wished(asked: Asked) -> int:
    """Return which field counts by the wish."""
    if asked.ensemble.sortie.wish.bring_to == "home":
        return 0
    return int(np.argmax(asked.counts))


def _any_height(asked: Asked) -> float:
    """Return the chance of home, released at any height."""
    if not asked.is_manned:
        return 0.0
    home = np.where(asked.chances.is_told, asked.chances.chance_ratio[:, 0], 0.0)
    return float(home.max(initial=0.0))


def _weather(ensemble: Ensemble) -> Weather:
    layers, middles_m = ensemble.air.column.layers, ensemble.air.column.middles_amsl_m
    top_m = np.nan_to_num(np.nanmedian(ensemble.climbs.burst.amsl_m), nan=np.inf)
    speed_mps = np.where(middles_m < top_m, np.hypot(layers.u_mps[0], layers.v_mps[0]), 0.0)
    k = int(np.argmax(speed_mps))
    return Weather(
        ground_mps=ground_wind_mps(ensemble),
        strongest_mps=float(speed_mps[k]),
        strongest_amsl_m=float(middles_m[k]),
        height_ratio=_height_ratio(ensemble),
    )


def _height_ratio(ensemble: Ensemble) -> float:
    """Return the chance that the balloon is whole when it gets to the wished height."""
    tracks, climbs = ensemble.climbs.tracks, ensemble.climbs
    high = np.nan_to_num(tracks.amsl_m, nan=-np.inf) >= ensemble.sortie.wish.wanted_amsl_m
    first, rows = high.argmax(axis=1), np.arange(len(high))
    whole = 1.0 - climbs.burst_share[rows, first]
    return float(np.where(high.any(axis=1), whole, 0.0).mean())


def _down_s(ensemble: Ensemble, release_s: float, amsl_m: float, field: int) -> float:
    """Return when it is down at best glide, or when the packs end where that is sooner."""
    layers, haste = ensemble.air.column.layers, ensemble.reach.haste
    middles_m, low_m = ensemble.air.column.middles_amsl_m, ensemble.sortie.fields[field].amsl_m
    passed = (middles_m > low_m) & (middles_m < amsl_m)
    factor = float(np.median(haste.glide_factor))
    glide_s = factor * float((layers.step_m / haste.sink_mps[passed]).sum())
    return min(release_s + glide_s, float(np.median(ensemble.draws.pack_end_s)))


def _dusk_s(ensemble: Ensemble, field: int) -> float | None:
    launch, there = ensemble.sortie.launch, ensemble.sortie.fields[field]
    dusk = dusk_t_s(launch.t_s, there.lat_deg, there.lon_deg)
    return None if dusk is None else dusk - launch.t_s


def _landing_wind(ensemble: Ensemble, field: int, down_s: float) -> tuple[float, float]:
    """Return the wind low over a field when it lands, to east and north; NaN where none tells."""
    sortie, air = ensemble.sortie, ensemble.air.sounding
    place = place_of(sortie.fields[field])
    if air.around is not None:
        if not air.around.holds(place.lat_deg, place.lon_deg):
            return float("nan"), float("nan")
        air = sounding_over(air.around, place, sortie.launch.t_s + down_s)
    low_m = place.amsl_m + _LOW_M
    east, north = (float(np.interp(low_m, air.gph_m, one)) for one in (air.u_mps, air.v_mps))
    return east, north


def _moment(ensemble: Ensemble, after_launch_s: float) -> int:
    tracks = ensemble.climbs.tracks
    return min(int(after_launch_s / tracks.step_s), int(tracks.amsl_m.shape[1]) - 1)
