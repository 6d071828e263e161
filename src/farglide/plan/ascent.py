"""Ascent: the climb's outlook: track, burst, flight levels."""

from typing import Final

import numpy as np

from farglide.air.standard import pressure_altitude_m
from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_deg
from farglide.outlook.ascent import AscentOutlook, BurstOutlook, LevelPassage, Spread, TrackPoint
from farglide.sim.core.shares import quantile_moment_s, weighted_medians
from farglide.sim.fly.passage import from_launch_m
from farglide.units import FOOT_M

LEVELS: Final = (100, 200, 330, 450, 600)
HEIGHT_STEP_M: Final = 250.0  # between heights at which the share burst is told


def spread_of(values: FloatArray) -> Spread:
    """Return the 10, 50 and 90 % points, NaN left out; all NaN when nothing is left."""
    kept = values[~np.isnan(values)]
    if kept.size == 0:
        return Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))
    low, middle, high = np.quantile(kept, [0.1, 0.5, 0.9])
    return Spread(p10=float(low), p50=float(middle), p90=float(high))


def ascent_outlook(ensemble: Ensemble) -> AscentOutlook:
    """Return the climb of the stage's draws."""
    share = ensemble.climbs.burst_share.mean(axis=0)
    n_shown = int(np.searchsorted(share, 59.0 / 60.0)) + 1
    n_shown = min(n_shown, ensemble.climbs.tracks.amsl_m.shape[1])
    track = tuple(_point(ensemble, j) for j in range(n_shown) if _flying(ensemble, j))
    burst = burst_outlook(ensemble, share)
    beyond_m = ensemble.air.column.beyond_amsl_m
    rose_m = ensemble.climbs.burst.amsl_m - ensemble.sortie.launch.amsl_m
    return AscentOutlook(
        mean_mps=spread_of(rose_m / ensemble.climbs.burst.after_launch_s),
        track=track,
        burst=burst,
        levels=tuple(level for fl in LEVELS if (level := _level(ensemble, fl)) is not None),
        farthest_km=max((float(np.hypot(p.east_m, p.north_m)) for p in track), default=0.0) / 1e3,
        beyond_amsl_m=beyond_m if beyond_m < 39_000.0 else None,
    )


def _flying(ensemble: Ensemble, j: int) -> bool:
    return bool((~np.isnan(ensemble.climbs.tracks.amsl_m[:, j])).mean() > 0.5)


def _point(ensemble: Ensemble, j: int) -> TrackPoint:
    tracks = ensemble.climbs.tracks
    keep = ~np.isnan(tracks.amsl_m[:, j])
    north, east = tracks.north_rad[keep, j], tracks.east_rad[keep, j]
    whole = 1.0 - ensemble.climbs.burst_share[keep, j]
    seen = np.stack([tracks.amsl_m[keep, j], north, east], axis=1)
    amsl_m, mid_north, mid_east = (
        float(x) for x in weighted_medians(seen, np.repeat(whole[:, None], 3, axis=1))
    )
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, mid_north, mid_east)
    east_m, north_m = from_launch_m(ensemble.air.scene, mid_north, mid_east)
    metres = np.hypot(
        (north - mid_north) * 6.37e6, (east - mid_east) * 6.38e6 * np.cos(np.radians(lat_deg))
    )
    return TrackPoint(
        after_launch_s=j * tracks.step_s,
        amsl_m=amsl_m,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        east_m=east_m,
        north_m=north_m,
        spread_m=float(np.quantile(metres, 0.9)),
    )


def burst_outlook(ensemble: Ensemble, share: FloatArray) -> BurstOutlook:
    """Return where and when the balloons burst. `share`: mean share burst by each moment."""
    step_s = ensemble.climbs.tracks.step_s
    t = [quantile_moment_s(share, step_s, q) for q in (0.1, 0.5, 0.9)]
    below = _share_below(ensemble)
    h = [quantile_moment_s(below, HEIGHT_STEP_M, q) for q in (0.1, 0.5, 0.9)]
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, *_middle_burst(ensemble, t[1]))
    moments_s = step_s * np.arange(len(share))
    later = np.interp(moments_s + 60.0, moments_s, share)
    within = np.where(share < 1.0, (later - share) / np.maximum(1.0 - share, 1e-9), 1.0)
    moments = np.nonzero((share > 5e-4) & (share < 0.9995))[0]
    return BurstOutlook(
        height_amsl_m=Spread(p10=h[0], p50=h[1], p90=h[2]),
        after_launch_s=Spread(p10=t[0], p50=t[1], p90=t[2]),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        by_time=tuple((float(j * step_s), float(share[j])) for j in moments),
        by_height=_by_height(ensemble, below),
        within_60_s=tuple((float(j * step_s), float(within[j])) for j in moments),
    )


def _middle_burst(ensemble: Ensemble, middle_s: float) -> tuple[float, float]:
    """Return the offsets of the middle of the bursts within 2 min of the median burst.

    Where half never burst, of all that do; NaN when none does.
    """
    burst = ensemble.climbs.burst
    away_s = np.abs(burst.after_launch_s - middle_s)
    keep = ~np.isnan(burst.after_launch_s)
    if not keep.any():
        return float("nan"), float("nan")
    if middle_s == middle_s:
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
    layers = ensemble.air.column.layers
    altitudes = np.array([pressure_altitude_m(float(p)) for p in layers.p_pa])
    middles = layers.base_amsl_m + layers.step_m * (np.arange(len(altitudes)) + 0.5)
    wanted_m = flight_level * 100.0 * FOOT_M
    return float(np.interp(wanted_m, altitudes, middles, left=np.nan, right=np.nan))


def _level(ensemble: Ensemble, flight_level: int) -> LevelPassage | None:
    amsl_m = level_amsl_m(ensemble, flight_level)
    tracks = ensemble.climbs.tracks
    times = []
    norths, easts = [], []
    clock = np.arange(tracks.amsl_m.shape[1]) * tracks.step_s
    for z, north, east in zip(tracks.amsl_m, tracks.north_rad, tracks.east_rad, strict=True):
        above = np.nonzero(z >= amsl_m)[0]
        if len(above) == 0 or above[0] == 0:
            continue
        a = slice(above[0] - 1, above[0] + 1)
        times.append(float(np.interp(amsl_m, z[a], clock[a])))
        norths.append(float(np.interp(amsl_m, z[a], north[a])))
        easts.append(float(np.interp(amsl_m, z[a], east[a])))
    if not times:
        return None
    lat_deg, lon_deg = place_deg(
        ensemble.sortie.launch, float(np.median(norths)), float(np.median(easts))
    )
    metres = np.hypot(
        (np.array(norths) - np.median(norths)) * 6.37e6,
        (np.array(easts) - np.median(easts)) * 6.38e6 * np.cos(np.radians(lat_deg)),
    )
    return LevelPassage(
        flight_level=flight_level,
        after_launch_s=spread_of(np.array(times)),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        radius_m=float(np.quantile(metres, 0.9)),
    )
