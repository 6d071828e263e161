"""Hearing: how strong each link is from each stand along the planned flight, and how surely."""

import math
from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.constants import DECILE_SDS
from farglide.earth.look import Look, look
from farglide.earth.state import Place, place_of
from farglide.earth.sun import SUNSET_DEG, sun_position
from farglide.outlook.links import HeardLink, HeardPoint, HeardStand
from farglide.plan.links.flightpath import FlightPath
from farglide.plan.links.overland import lost_agl_m
from farglide.plan.links.stands import best_stands, budget_line, overhead_spans
from farglide.plan.preview import named_reach_m
from farglide.radio.link import threshold_dbm
from farglide.radio.picture import grade_of
from farglide.rig.links import beam_deg, gear_of
from farglide.rig.listening import mast_of, ready_s
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db

Sight = Callable[..., HeardPoint]  # a point but for what is heard there


def margins_along(ensemble: Ensemble, flights: Trails) -> FloatArray:
    """Return the margins at an ensemble's stands, (n_flights, n_stands, n_links, n_steps)."""
    listening = ensemble.listening
    if listening is None:
        return np.empty((0, 0, 0, 0))
    frame, workers = ensemble.air.scene.frame, ensemble.workers
    return margins_db(listening.listeners, frame, flights, workers).astype(np.float64)


def heard_links(
    path: FlightPath, terrain: Terrain | None = None, down: FlightPath | None = None
) -> tuple[HeardLink, ...]:
    """Return every link from every stand along a planned flight, and on its way `down`.

    Without terrain the ground is flat. A sortie without stands has links without any.
    """
    sortie = path.ensemble.sortie
    heard_from = sortie.stands if path.ensemble.listening is not None else ()
    along = _points_along(path, terrain)
    below = _points_along(down, terrain) if down is not None else None
    found = []
    for k, spec in enumerate(sortie.links):
        gear = gear_of(spec)
        link, stands = gear.link, []
        for s, stand in enumerate(heard_from):
            points = along[k][s]
            lost = tuple(
                (field.name, lost_agl_m(gear, stand, place_of(field), terrain))
                for field in sortie.fields
            )
            stands.append(
                HeardStand(
                    name=stand.name,
                    margin_db=points,
                    silent=_silent(points),
                    lost_agl_m=lost,
                    overhead=overhead_spans(points),
                    down=below[k][s] if below is not None else (),
                    manned_after_launch_s=ready_s(sortie, stand),
                )
            )
        found.append(
            HeardLink(
                name=link.name,
                purpose=link.purpose,
                eirp_dbm=link.sender.eirp_dbm,
                threshold_dbm=threshold_dbm(link),
                spread_db=gear.sd_db,
                reach_m=named_reach_m(link, 0.0),
                half_reach_m=named_reach_m(link, 6.0),
                beam_deg=beam_deg(gear),
                stands=tuple(stands),
                best=best_stands(stands, path.climb_end_s),
                budget=budget_line(link, stands, path.climb_end_s),
            )
        )
    return tuple(found)


def _points_along(path: FlightPath, terrain: Terrain | None) -> list[list[tuple[HeardPoint, ...]]]:
    """Return what each stand hears of each link along a path: by link, then by stand."""
    sortie, found = path.ensemble.sortie, []
    stands = sortie.stands if path.ensemble.listening is not None else ()
    margins = margins_along(path.ensemble, path.flights)
    seen_from = [sights(path, mast_of(stand, terrain)) for stand in stands]
    for k, spec in enumerate(sortie.links):
        sd_db, by_stand = gear_of(spec).sd_db, []
        for s, seen in enumerate(seen_from):
            spread = _spreads(margins[:, s, k], sd_db).tolist()
            by_stand.append(
                tuple(
                    sight(p10=p10, p50=p50, p90=p90, grade=grade_of(p50, spec.is_digital))
                    for sight, p10, p50, p90 in zip(seen, *spread, strict=True)
                )
            )
        found.append(by_stand)
    return found


def sights(path: FlightPath, mast: Place) -> list[Sight]:
    """Return where the planned flight stands as seen from an antenna, point by point.

    How fast the antenna has to turn, and where the sun stands meanwhile, comes with it.
    """
    places = path.places()
    seen = [look(mast, place) for place in places]
    units = np.array([_unit(one) for one in seen])
    turned = np.degrees(np.arccos(np.clip((units[1:] * units[:-1]).sum(axis=1), -1.0, 1.0)))
    rates_degps = turned / np.maximum(np.diff(path.after_s), 1.0)
    clock_s = path.ensemble.sortie.launch.t_s + path.after_s
    suns = [sun_position(t_s, mast.lat_deg, mast.lon_deg) for t_s in clock_s.tolist()]
    return [
        partial(
            HeardPoint,
            after_launch_s=float(path.after_s[i]),
            amsl_m=place.amsl_m,
            azimuth_deg=seen[i].azimuth_deg,
            elevation_deg=seen[i].elevation_deg,
            range_m=seen[i].range_m,
            slew_degps=float(rates_degps[min(i, len(rates_degps) - 1)]),
            sun_azimuth_deg=suns[i].azimuth_deg if suns[i].elevation_deg > SUNSET_DEG else None,
        )
        for i, place in enumerate(places)
    ]


def _unit(seen: Look) -> tuple[float, float, float]:
    azimuth, elevation = math.radians(seen.azimuth_deg), math.radians(seen.elevation_deg)
    level = math.cos(elevation)
    return level * math.sin(azimuth), level * math.cos(azimuth), math.sin(elevation)


def _spreads(margins: FloatArray, sd_db: float) -> FloatArray:
    """Return the margins of the deciles and the middle, shape (3, n_points).

    `margins`: the error-free flight and the draws. How far the draws lie apart and the doubt about
    the budget have nothing to do with each other: their squares are added.
    """
    middle, drawn = margins[0], margins[1:]
    flying = ~np.isnan(drawn)
    some = np.where(flying.any(axis=0), drawn, middle)
    low, half, high = np.nanquantile(some, [0.1, 0.5, 0.9], axis=0)
    doubt = DECILE_SDS * sd_db
    below, above = np.hypot(half - low, doubt), np.hypot(high - half, doubt)
    return np.stack([middle - below, middle, middle + above])


def _silent(points: Sequence[HeardPoint]) -> tuple[tuple[float, float], ...]:
    """Return the stretches in which the link is more likely gone, the margin changing evenly."""
    found: list[tuple[float, float]] = []
    for before, point in pairwise(points):
        start, end = before.after_launch_s, point.after_launch_s
        if before.p50 >= 0.0 and point.p50 >= 0.0:
            continue
        if before.p50 >= 0.0 or point.p50 >= 0.0:
            at = zero_s(start, before.p50, end, point.p50)
            start, end = (start, at) if before.p50 < 0.0 else (at, end)
        if found and found[-1][1] >= start - 1e-6:
            start = found.pop()[0]
        found.append((start, end))
    return tuple(found)


def zero_s(start_s: float, from_db: float, end_s: float, to_db: float) -> float:
    """Return when a margin is 0 that changes evenly from one moment to another, and its sign.

    >>> zero_s(10.0, -1.0, 20.0, 3.0)
    12.5
    """
    return start_s + (end_s - start_s) * from_db / (from_db - to_db)
