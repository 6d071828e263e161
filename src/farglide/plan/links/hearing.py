"""Hearing: how strong each link is from each stand along the planned flight, and how surely."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.chances.offsets import place_deg
from farglide.earth.look import Look, look
from farglide.earth.state import Place, place_of
from farglide.earth.sun import SUNSET_DEG, sun_position
from farglide.errors import InputError
from farglide.outlook.links import DECILE_SDS, HeardLink, HeardPoint, HeardStand
from farglide.plan.home.homeward import Homeward
from farglide.plan.links.lostheights import lost_agl_m
from farglide.plan.links.stands import best_stands, budget_line, overhead_spans
from farglide.radio.link import Link, largest_loss_db, reach_m, threshold_dbm
from farglide.radio.picture import grade_of
from farglide.rig.links import gear_of
from farglide.rig.listening import mast_of
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db

_CLIMB_STEP_S: Final = 120.0
_GLIDE_STEP_S: Final = 60.0
_N_DRAWS: Final = 200


class FlightPath:
    """The planned flight and those of the draws, point by point on one clock.

    `after_s` (n_points,); `flights`: heights and offsets, (1 + n_draws, n_points), the error-free
    flight first; `climb_end_s`: the release, or where the plan ends without one.
    """

    def __init__(
        self, ensemble: Ensemble, after_s: FloatArray, flights: Trails, climb_end_s: float
    ) -> None:
        self.ensemble, self.after_s, self.flights = ensemble, after_s, flights
        self.climb_end_s = climb_end_s

    def places(self) -> list[Place]:
        """Return the places of the error-free flight."""
        found = []
        for amsl_m, north, east in zip(*(each[0] for each in self.flights), strict=True):
            lat_deg, lon_deg = place_deg(self.ensemble.sortie.launch, float(north), float(east))
            found.append(Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=float(amsl_m)))
        return found


def planned_path(
    ensemble: Ensemble, plain: Ensemble, moment: int, flight: Homeward | None
) -> FlightPath:
    """Return the flight released at a moment: the climb, then the glide home.

    The glide is the one with most height that ends in time, else the flattest. A draw climbs as it
    is drawn; then it keeps the planned glide, beside it by as much as at its release, less and less
    the nearer it comes to the field.
    """
    every = max(round(_CLIMB_STEP_S / plain.climbs.tracks.step_s), 1)
    climb = np.array([*range(0, moment, every), moment])
    after_s = climb * plain.climbs.tracks.step_s
    tracks = [
        np.vstack([getattr(plain.climbs.tracks, name)[:1, climb], _drawn(ensemble, name, climb)])
        for name in ("amsl_m", "north_rad", "east_rad")
    ]
    if flight is None:
        return FlightPath(plain, after_s, Trails(*tracks), float(after_s[-1]))
    glide = flight.timely.passage if flight.timely else flight.flattest
    start_s, end_s = float(glide.after_s[0]), float(glide.after_s[-1])
    glide_s = np.array([*np.arange(start_s, end_s, _GLIDE_STEP_S), end_s])
    left = (end_s - glide_s) / max(end_s - start_s, 1.0)
    legs = []
    for track, values in zip(tracks, (glide.amsl_m, glide.north_rad, glide.east_rad), strict=True):
        beside = track[:, -1:] - track[:1, -1:]
        legs.append(np.hstack([track, np.interp(glide_s, glide.after_s, values) + beside * left]))
    whole_s = np.append(after_s, glide_s)
    return FlightPath(plain, whole_s, Trails(*legs), float(after_s[-1]))


def _drawn(ensemble: Ensemble, name: str, climb: IntArray) -> FloatArray:
    values: FloatArray = getattr(ensemble.climbs.tracks, name)[:_N_DRAWS]
    return values[:, np.minimum(climb, values.shape[1] - 1)]


def heard_links(path: FlightPath, terrain: Terrain | None = None) -> tuple[HeardLink, ...]:
    """Return every link from every stand along a planned flight.

    Without terrain the ground is flat. A sortie without stands has links without any.
    """
    sortie, listening = path.ensemble.sortie, path.ensemble.ears
    heard_from = sortie.stands if listening is not None else ()
    margins = np.empty((0, 0, 0, 0))
    if listening is not None:
        frame, workers = path.ensemble.air.scene.frame, path.ensemble.workers
        margins = margins_db(listening.listeners, frame, path.flights, workers).astype(np.float64)
    looks = [aims(path, mast_of(stand, terrain)) for stand in heard_from]
    found = []
    for k, spec in enumerate(sortie.links):
        gear = gear_of(spec)
        link = gear.link
        stands = []
        for s, stand in enumerate(heard_from):
            spread = _spreads(margins[:, s, k], gear.sd_db)
            points = _points(path, looks[s], spread, spec.is_digital)
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
                )
            )
        found.append(
            HeardLink(
                name=link.name,
                purpose=link.purpose,
                eirp_dbm=link.sender.eirp_dbm,
                threshold_dbm=threshold_dbm(link),
                spread_db=gear.sd_db,
                reach_m=_named_reach_m(link, 0.0),
                half_reach_m=_named_reach_m(link, 6.0),
                stands=tuple(stands),
                best=best_stands(stands, path.climb_end_s),
                budget=budget_line(link, stands, path.climb_end_s),
            )
        )
    return tuple(found)


def _named_reach_m(link: Link, kept_db: float) -> float:
    """Return a reach in free space; a budget that no way on Earth fits is refused by its name."""
    try:
        return reach_m(link, kept_db)
    except InputError as error:
        given = f"{largest_loss_db(link):.0f} dB between the antennas"
        remedy = "Check its powers, gains and threshold: dBm for watts, dBi, a minus sign."
        allowed = "6 to 300 dB"
        raise InputError(f"budget of link {link.name}", given, allowed, remedy) from error


class Aim(NamedTuple):
    """Where an antenna has to look, how fast that moves, and where the sun stands meanwhile."""

    seen: Look
    slew_degps: float
    sun_azimuth_deg: float | None


def aims(path: FlightPath, mast: Place) -> list[Aim]:
    """Return where the planned flight stands as seen from an antenna, point by point."""
    seen = [look(mast, place) for place in path.places()]
    units = np.array([_unit(one) for one in seen])
    turned = np.degrees(np.arccos(np.clip((units[1:] * units[:-1]).sum(axis=1), -1.0, 1.0)))
    rate = turned / np.maximum(np.diff(path.after_s), 1.0)
    rates = [*rate.tolist(), float(rate[-1])]
    suns = [_sun_deg(path, mast, float(after_s)) for after_s in path.after_s]
    return [Aim(*each) for each in zip(seen, rates, suns, strict=True)]


def _sun_deg(path: FlightPath, mast: Place, after_s: float) -> float | None:
    sun = sun_position(path.ensemble.sortie.launch.t_s + after_s, mast.lat_deg, mast.lon_deg)
    return sun.azimuth_deg if sun.elevation_deg > SUNSET_DEG else None


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


def _points(
    path: FlightPath, looks: Sequence[Aim], spread: FloatArray, is_digital: bool
) -> tuple[HeardPoint, ...]:
    return tuple(
        HeardPoint(
            after_launch_s=float(after_s),
            amsl_m=float(amsl_m),
            azimuth_deg=aim.seen.azimuth_deg,
            elevation_deg=aim.seen.elevation_deg,
            range_m=aim.seen.range_m,
            slew_degps=aim.slew_degps,
            sun_azimuth_deg=aim.sun_azimuth_deg,
            p10=float(p10),
            p50=float(p50),
            p90=float(p90),
            grade=grade_of(float(p50), is_digital),
        )
        for after_s, amsl_m, aim, p10, p50, p90 in zip(
            path.after_s, path.flights[0][0], looks, *spread, strict=True
        )
    )


def _silent(points: tuple[HeardPoint, ...]) -> tuple[tuple[float, float], ...]:
    """Return the stretches in which the link is more likely gone than not."""
    found: list[tuple[float, float]] = []
    for before, point in pairwise(points):
        if point.p50 >= 0.0 and before.p50 >= 0.0:
            continue
        start, end = _crossings(before, point)
        if found and found[-1][1] >= start - 1e-6:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return tuple(found)


def _crossings(before: HeardPoint, point: HeardPoint) -> tuple[float, float]:
    """Return the silent part of a step, the margin changing evenly in it."""
    start, end = before.after_launch_s, point.after_launch_s
    if before.p50 < 0.0 and point.p50 < 0.0:
        return start, end
    at = start + (end - start) * before.p50 / (before.p50 - point.p50)
    return (start, at) if before.p50 < 0.0 else (at, end)
