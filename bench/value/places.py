"""Sorties to try rules on: a place with its own sounding as truth, a neighbour's as forecast."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.atlas.fields import Field
from farglide.chances.ensemble import plain_climbs
from farglide.cli.plan import DEMO
from farglide.earth.geodesy import destination, geodesic
from farglide.earth.state import Place, offset_rad, place_deg, place_of
from farglide.flightfile.flightfile import read_flight_file
from farglide.sortie.grain import Grain
from farglide.sortie.sources import WindSource
from farglide.sortie.spec import Launch, Sortie
from farglide.sources.soundings.bufr_temp import read_bufr

NETWORK = Path(__file__).parents[2] / "tests" / "authorities" / "temp_network_20081208.bufr"
"""420 soundings of 2008-12-08 12 UTC; where they come from stands beside them."""
_TOP_GPH_M = 24_000.0
_WIDEST_GAP_M = 4500.0
_NEAREST_KM, _FARTHEST_KM = 130.0, 400.0
_REGION_KM = 1500.0
_POLAR_DEG = 80.0
_FIELDS = (("near", 22.2, 7.8), ("far side", 41.0, -2.8), ("far end", 58.2, 4.9))
"""Prepared fields besides home: how far away, km, and how far left of the forecast drift, deg."""


class Pair(NamedTuple):
    """One place: what blows there, what its crew is told, and from how far away."""

    truth: Sounding
    forecast: Sounding
    away_km: float
    region: int


class Drift(NamedTuple):
    """Where the forecast carries the balloon to its burst."""

    azimuth_deg: float
    distance_m: float


def soundings() -> list[Sounding]:
    """Return the soundings that reach 24 km without a gap of more than 4.5 km."""
    found, _ = read_bufr(NETWORK)
    return [
        one
        for one in found
        if one.gph_m[-1] >= _TOP_GPH_M
        and np.diff(one.gph_m).max() <= _WIDEST_GAP_M
        and abs(one.lat_deg) < _POLAR_DEG
    ]


def pairs(n_neighbours: int = 2) -> list[Pair]:
    """Return each place with its nearest neighbours 130 to 400 km away, regions numbered."""
    known = soundings()
    places = [Place(lat_deg=s.lat_deg, lon_deg=s.lon_deg, amsl_m=0.0) for s in known]
    centres: list[Place] = []
    found = []
    for truth, here in zip(known, places, strict=True):
        away = [geodesic(here, there).distance_m / 1e3 for there in places]
        near = sorted(i for i, km in enumerate(away) if _NEAREST_KM <= km <= _FARTHEST_KM)
        near.sort(key=lambda i: away[i])
        if not near:
            continue
        region = _region(centres, here)
        found += [Pair(truth, known[i], away[i], region) for i in near[:n_neighbours]]
    return found


def _region(centres: list[Place], here: Place) -> int:
    """Return the number of the first centre within reach; a new one where there is none."""
    for number, centre in enumerate(centres):
        if geodesic(centre, here).distance_m < 1e3 * _REGION_KM:
            return number
    centres.append(here)
    return len(centres) - 1


@cache
def _gear() -> Sortie:
    return read_flight_file(DEMO).sortie


def home_sortie(pair: Pair) -> Sortie:
    """Return the demo's gear launched at home, with three more fields along the forecast drift.

    No links, stands, barriers or light count: what is tried is where to launch, when to let go and
    where to fly.
    """
    truth, gear = pair.truth, _gear()
    ground_m = float(np.clip(truth.gph_m[0], 0.0, 4000.0))
    launch = Launch(
        name="home", lat_deg=truth.lat_deg, lon_deg=truth.lon_deg, amsl_m=ground_m,
        t_s=_bright_t_s(truth), zone="UTC",
    )  # fmt: skip
    home = Field(name="home", lat_deg=truth.lat_deg, lon_deg=truth.lon_deg, amsl_m=ground_m)
    bare = replace(
        gear, launch=launch, fields=(home,), links=(), stands=(), barriers=(), landmarks=(),
        terrain=None, wind=WindSource(path="", accept_age_h=240.0, accept_distance_km=2000.0),
    )  # fmt: skip
    drift = drift_of(bare, pair.forecast)
    others = [_field(home, name, drift, away) for name, *away in _FIELDS]
    return replace(bare, fields=(home, *others))


def _field(home: Field, name: str, drift: Drift, away: list[float]) -> Field:
    away_km, left_deg = away
    at = destination(place_of(home), (drift.azimuth_deg - left_deg) % 360.0, 1e3 * away_km)
    return replace(home, name=name, lat_deg=at.lat_deg, lon_deg=at.lon_deg)


def _bright_t_s(sounding: Sounding) -> float:
    """Return late morning of the summer solstice there: no light may end what is tried."""
    month = 12 if sounding.lat_deg < 0.0 else 6
    day = np.datetime64(f"2026-{month:02d}-21T09:00:00").astype("datetime64[s]")
    return float(day.astype(np.int64)) - sounding.lon_deg * 240.0


def drift_of(sortie: Sortie, sounding: Sounding) -> Drift:
    """Return where winds carry the balloon of a sortie to its error-free burst."""
    burst = plain_climbs(sortie, sounding, Grain()).burst
    lat_deg, lon_deg = place_deg(sortie.launch, float(burst.north_rad[0]), float(burst.east_rad[0]))
    end = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    line = geodesic(place_of(sortie.launch, 0.0), end)
    return Drift(line.azimuth_deg, line.distance_m)


def launched_at(sortie: Sortie, at: Place) -> Sortie:
    """Return a sortie launched elsewhere, its fields where they are."""
    launch = replace(sortie.launch, name="elsewhere", lat_deg=at.lat_deg, lon_deg=at.lon_deg)
    return replace(sortie, launch=launch)


def up_wind(sortie: Sortie, drift: Drift, distance_m: float) -> Sortie:
    """Return a sortie launched so far up the drift."""
    home = place_of(sortie.launch)
    return launched_at(sortie, destination(home, (drift.azimuth_deg + 180.0) % 360.0, distance_m))


def home_offset(sortie: Sortie) -> tuple[float, float]:
    """Return radians north and east from the launch to home."""
    home = sortie.fields[0]
    return offset_rad(sortie.launch, home.lat_deg, home.lon_deg)
