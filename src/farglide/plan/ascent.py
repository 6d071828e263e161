"""Ascent: the climb's outlook: track, burst, flight levels."""

import math
from typing import Final

import numpy as np

from farglide.air.standard import pressure_altitude_m
from farglide.arrays import FloatArray
from farglide.chances.chances import LAST_BURST_RATIO
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_deg
from farglide.outlook.ascent import AscentOutlook, BurstOutlook, LevelPassage, Spread, TrackPoint
from farglide.rig.gear import bursting_of
from farglide.sim.core.shares import quantile_moment_s, weighted_medians
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie
from farglide.units import FOOT_M

LEVELS: Final = (100, 200, 330, 450, 600)
HEIGHT_STEP_M: Final = 250.0  # between heights at which the share burst is told
_FEW_RATIO: Final = 0.5
"""What fewer than half of the balloons do is not told as if the flight did it."""
_EARLY_WORDS: Final = {
    Tag.GUESS: "a guess", Tag.TYPICAL: "a usual share", Tag.MEASURED: "the share stated"
}  # fmt: skip
_NORMAL_RADIUS_M: Final = 6.38e6  # of WGS84, right within 0.4 % at any latitude
_MERIDIAN_RADIUS_M: Final = 6.37e6  # within 0.6 %: near enough for a spread


def spread_of(values: FloatArray) -> Spread:
    """Return the 10, 50 and 90 % points, NaN left out; all NaN when nothing is left."""
    kept = values[~np.isnan(values)]
    if kept.size == 0:
        return Spread(p10=math.nan, p50=math.nan, p90=math.nan)
    low, middle, high = np.quantile(kept, [0.1, 0.5, 0.9])
    return Spread(p10=float(low), p50=float(middle), p90=float(high))


def ascent_outlook(ensemble: Ensemble) -> AscentOutlook:
    """Return the climb of an ensemble's draws."""
    climbs, share = ensemble.climbs, ensemble.climbs.burst_ratio
    n_shown = int(np.searchsorted(share, LAST_BURST_RATIO)) + 1
    flying = (~np.isnan(climbs.tracks.amsl_m[:, :n_shown])).mean(axis=0) > 0.5
    track = tuple(_point(ensemble, j) for j in np.flatnonzero(flying).tolist())
    beyond_m = ensemble.air.column.beyond_amsl_m
    rose_m = climbs.burst.amsl_m - ensemble.sortie.launch.amsl_m
    speeds_mps = rose_m / climbs.burst.after_launch_s
    if np.isnan(speeds_mps).mean() > _FEW_RATIO:
        speeds_mps = np.full_like(speeds_mps, np.nan)  # of a leaking balloon: it floats, then sinks
    return AscentOutlook(
        mean_mps=spread_of(speeds_mps),
        track=track,
        burst=burst_outlook(ensemble),
        levels=tuple(level for fl in LEVELS if (level := _level(ensemble, fl)) is not None),
        farthest_km=max((float(np.hypot(p.east_m, p.north_m)) for p in track), default=0.0) / 1e3,
        beyond_amsl_m=beyond_m if beyond_m < 39_000.0 else None,
    )


def _point(ensemble: Ensemble, j: int) -> TrackPoint:
    tracks = ensemble.climbs.tracks
    keep = ~np.isnan(tracks.amsl_m[:, j])
    whole = 1.0 - ensemble.climbs.burst_share[keep, j]
    seen = np.stack([one[keep, j] for one in tracks.places], axis=1)
    amsl_m, north, east = weighted_medians(seen, np.repeat(whole[:, None], 3, axis=1)).tolist()
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, north, east)
    east_m, north_m = from_launch_m(ensemble.air.scene, north, east)
    return TrackPoint(
        after_launch_s=j * tracks.step_s,
        amsl_m=amsl_m,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        east_m=east_m,
        north_m=north_m,
        spread_m=_radius_m(seen[:, 1] - north, seen[:, 2] - east, lat_deg),
    )


def _radius_m(north_rad: FloatArray, east_rad: FloatArray, lat_deg: float) -> float:
    """Return the distance from their middle that nine in ten offsets are within."""
    east_m = east_rad * _NORMAL_RADIUS_M * np.cos(np.radians(lat_deg))
    return nine_in_ten_m(east_m, north_rad * _MERIDIAN_RADIUS_M)


def nine_in_ten_m(east_m: FloatArray, north_m: FloatArray) -> float:
    """Return the distance from a middle that nine in ten places around it are within."""
    return float(np.quantile(np.hypot(east_m, north_m), 0.9))


def burst_outlook(ensemble: Ensemble) -> BurstOutlook:
    """Return where and when the balloons burst."""
    share, step_s = ensemble.climbs.burst_ratio, ensemble.climbs.tracks.step_s
    below = _share_below(ensemble)
    t = [quantile_moment_s(share, step_s, q) for q in (0.1, 0.5, 0.9)]
    h = [quantile_moment_s(below, HEIGHT_STEP_M, q) for q in (0.1, 0.5, 0.9)]
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, *_middle_burst(ensemble, t[1]))
    moments_s = np.arange(float(len(share))) * step_s
    later = ensemble.climbs.burst_ratio_at(moments_s + 60.0)
    within = np.where(share < 1.0, (later - share) / np.maximum(1.0 - share, 1e-9), 1.0)
    moments = np.nonzero((share > 5e-4) & (share < 0.9995))[0]
    return BurstOutlook(
        height_amsl_m=Spread(p10=h[0], p50=h[1], p90=h[2]),
        after_launch_s=Spread(p10=t[0], p50=t[1], p90=t[2]),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        by_time=tuple((float(moments_s[j]), float(share[j])) for j in moments),
        by_height=_by_height(ensemble, below),
        within_60_s=tuple((float(moments_s[j]), float(within[j])) for j in moments),
        early_ratio=bursting_of(ensemble.sortie, ensemble.climbs.fill).early_ratio,
        early_from=early_from(ensemble.sortie),
    )


def early_from(sortie: Sortie) -> str:
    """Return where the share of early bursts comes from."""
    balloon = sortie.balloon
    n, n_early = balloon.n_flights, balloon.n_early_bursts
    if n:
        return f"{n_early} of {n} flights counted, and what was taken before as 30 more"
    tag = sortie.tags.get("balloon.early_burst_ratio", balloon.early_burst_ratio.tag)
    return f"{_EARLY_WORDS[tag]}; your own record of flights settles it"


def _middle_burst(ensemble: Ensemble, middle_s: float) -> tuple[float, float]:
    """Return the offsets of the middle of the bursts within 2 min of the median burst.

    Where half never burst, of all that do; NaN when none does.
    """
    burst = ensemble.climbs.burst
    keep = ~np.isnan(burst.after_launch_s)
    if not keep.any():
        return math.nan, math.nan
    if not math.isnan(middle_s):
        away_s = np.abs(burst.after_launch_s - middle_s)
        keep &= away_s < max(120.0, 1.001 * float(np.nanmin(away_s)))
    return float(np.median(burst.north_rad[keep])), float(np.median(burst.east_rad[keep]))


def _share_below(ensemble: Ensemble) -> FloatArray:
    """Return the share burst below each height: each draw's share where its track passes it."""
    heights = np.arange(0.0, 40_001.0, HEIGHT_STEP_M)
    shares = np.zeros(len(heights))
    tracks = ensemble.climbs.tracks
    for z, p in zip(tracks.amsl_m, ensemble.climbs.burst_share, strict=True):
        keep = ~np.isnan(z)
        top = int(np.argmax(np.where(keep, z, -1.0))) + 1
        shares += np.interp(heights, z[:top], p[:top])
    return shares / len(tracks.amsl_m)


def _by_height(ensemble: Ensemble, below: FloatArray) -> tuple[tuple[float, float], ...]:
    """Return the heights between which balloons burst, each with the share burst below it."""
    told = tuple((HEIGHT_STEP_M * j, float(p)) for j, p in enumerate(below) if 5e-4 < p < 0.9995)
    highest_m = float(np.nanmax(ensemble.climbs.tracks.amsl_m))
    return told or ((highest_m, 0.0),)  # none bursts: to where they get


def level_amsl_m(ensemble: Ensemble, flight_level: int) -> float:
    """Return the geometric height of a flight level in this column; NaN outside it.

    Flight levels are heights of pressure: where the air has the pressure that the standard
    atmosphere has at that many hundred feet.
    """
    column = ensemble.air.column
    altitudes = np.array([pressure_altitude_m(float(p)) for p in column.layers.p_pa])
    wanted_m = flight_level * 100.0 * FOOT_M
    return float(np.interp(wanted_m, altitudes, column.middles_amsl_m, left=np.nan, right=np.nan))


def _level(ensemble: Ensemble, flight_level: int) -> LevelPassage | None:
    amsl_m, tracks = level_amsl_m(ensemble, flight_level), ensemble.climbs.tracks
    clock = np.arange(tracks.amsl_m.shape[1]) * tracks.step_s
    passages = []
    for z, *others in zip(*tracks.places, strict=True):
        above = np.nonzero(z >= amsl_m)[0]
        if len(above) and above[0] > 0:
            a = slice(above[0] - 1, above[0] + 1)
            passages.append([np.interp(amsl_m, z[a], one[a]) for one in (clock, *others)])
    if len(passages) < (1.0 - _FEW_RATIO) * len(tracks.amsl_m):
        return None
    times, norths, easts = np.array(passages).T
    north, east = np.median(norths), np.median(easts)
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, north, east)
    return LevelPassage(
        flight_level=flight_level,
        after_launch_s=spread_of(times),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        radius_m=_radius_m(norths - north, easts - east, lat_deg),
    )
