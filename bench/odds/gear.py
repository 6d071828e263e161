"""Gear: a flight planned on one sounding and flown in another; the file that follows farglide.

What is planned goes through the doors of the program: `gather.accept` judges age and distance,
`chances.case` draws. The truth is the other sounding's wind without doubt, balloon and glider drawn
anew out of the same doubts.
"""

from dataclasses import fields, replace
from functools import cache
from typing import Final

import numpy as np

from bench.odds.pairs import Pair
from farglide.arrays import FloatArray
from farglide.atlas.fields import Field
from farglide.chances.case import Case, case_of
from farglide.chances.chances import chances_in, reached
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.earth.state import place_deg
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.accept import accepted
from farglide.rig.gear import goals_of
from farglide.sim.core.release import Goals
from farglide.sim.core.states import CLIMBING, States
from farglide.sortie.grain import Grain
from farglide.sortie.sources import WindSource
from farglide.sortie.spec import DoubtSpec, Sortie

WORKERS: Final = on_threads(2)
_RING_M: Final = (50_000.0, 100_000.0, 150_000.0)
_N_BEARINGS: Final = 8
_NEVER_M: Final = 99.0
EARTH_M: Final = 6_371_000.0


@cache
def _demo() -> Sortie:
    return read_flight_file(DEMO).sortie


def sortie_of(pair: Pair) -> Sortie:
    """Return the demo's gear at the place and time of the truth, in a ring of fields.

    Nobody listens and the ground is flat: what is told is the doubt about winds, climb and glide.
    """
    truth, demo = pair.truth.sounding, _demo()
    lowest = max(truth.gph_m[0], pair.forecast.sounding.gph_m[0], 0.0)
    ground_m = float(100.0 * np.ceil(lowest / 100.0))
    launch = replace(
        demo.launch, lat_deg=truth.lat_deg, lon_deg=truth.lon_deg, amsl_m=ground_m,
        t_s=truth.t_s, zone="UTC",
    )  # fmt: skip
    accept = WindSource(path="open data", accept_age_h=240.0, accept_distance_km=2000.0)
    bare = replace(
        demo, launch=launch, wind=accept, links=(), stands=(), terrain=None, barriers=(),
        landmarks=(), fields=(),
    )  # fmt: skip
    bearings = 2.0 * np.pi * np.arange(_N_BEARINGS) / _N_BEARINGS
    around = [_field(bare, away_m, float(to)) for away_m in _RING_M for to in bearings]
    return replace(bare, fields=(_field(bare, 0.0, 0.0), *around))


def _field(sortie: Sortie, away_m: float, bearing_rad: float) -> Field:
    north_rad = away_m * np.cos(bearing_rad) / EARTH_M
    east_rad = away_m * np.sin(bearing_rad) / EARTH_M
    lat_deg, lon_deg = place_deg(sortie.launch, north_rad, east_rad / cosine_of(sortie))
    name = f"{away_m / 1e3:.0f} km, {np.degrees(bearing_rad):.0f}°"
    return Field(name=name, lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=sortie.launch.amsl_m)


def cosine_of(sortie: Sortie) -> float:
    return float(np.cos(np.radians(sortie.launch.lat_deg)))


def planned(pair: Pair, grain: Grain) -> Case:
    """Return the case of a pair's flight, its winds judged by age and distance as in a plan."""
    sortie = sortie_of(pair)
    pack = accepted(sortie, pair.forecast.sounding, "open data")
    return case_of(sortie, pack, grain, WORKERS)


def in_truth(pair: Pair, grain: Grain) -> Ensemble:
    """Return the same flight in the winds as they came: gear drawn anew, no balloon bursts.

    Each pair wants a seed of its own: gear that is the same for all would put its own luck, good
    or bad, into every row of a table.
    """
    sortie = sortie_of(pair)
    sortie = replace(sortie, doubt=_sure(sortie.doubt))
    ensemble = drawn_ensemble(sortie, pair.truth.sounding, grain, WORKERS)
    swarm = ensemble.draws.swarm
    whole = swarm._replace(burst_diameter_m=np.full(len(swarm.gas_kg), _NEVER_M))
    return replace(ensemble, draws=ensemble.draws._replace(swarm=whole))


def _sure(doubt: DoubtSpec) -> DoubtSpec:
    """Return the doubt without any about winds, whatever its parts are called."""
    names = [one.name for one in fields(doubt) if "wind" in one.name or one.name == "beyond_mps"]
    sizes = {name: 0.0 for name in names if not name.endswith("depth_m")}
    return replace(doubt, **sizes)


def passages(ensemble: Ensemble, heights_m: FloatArray) -> States:
    """Return where each draw first passes some heights going up, as if no balloon burst."""
    tracks = ensemble.climbs.tracks
    n, clock_s = len(tracks.amsl_m), tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    found = np.full((4, n, len(heights_m)), np.nan)
    for i in range(n):
        known = np.isfinite(tracks.amsl_m[i])
        rising = np.maximum.accumulate(tracks.amsl_m[i, known])
        for row, values in enumerate((clock_s, tracks.north_rad[i], tracks.east_rad[i])):
            at = values[known]
            found[row, i] = np.interp(heights_m, rising, at, left=np.nan, right=np.nan)
        found[3, i] = np.where(np.isfinite(found[0, i]), heights_m, np.nan)
    kind = np.full(found[0].shape, CLIMBING, np.uint8)
    at_s, north, east, amsl_m = (np.ascontiguousarray(one) for one in found)
    return States(kind, at_s, amsl_m, north, east, np.zeros(at_s.shape))


def chances_at(case: Case, heights_m: FloatArray) -> FloatArray:
    """Return the chance of each field for a release at some heights, given a whole balloon."""
    drawn = case.drawn
    return np.asarray(chances_in(drawn, passages(drawn, heights_m), drawn.goals).open_ratio)


def reached_share(truth: Ensemble, heights_m: FloatArray) -> FloatArray:
    """Return the share of draws whose best path reaches each field in time."""
    states = passages(truth, heights_m)
    return np.asarray(chances_in(truth, states, truth.goals).open_ratio)


def moved_share(case: Case, heights_m: FloatArray, moves_m: FloatArray) -> FloatArray:
    """Return the share of moved fields that the flight without errors reaches in time.

    `moves_m` (n_moves, 2): north and east. This is a constant spread of places in the same engine,
    shape (n_heights, n_fields).
    """
    plain = case.plain
    goals = goals_of(plain.sortie, plain.sortie.fields)
    many = _moved(goals, moves_m, cosine_of(plain.sortie))
    _, in_time = reached(plain, passages(plain, heights_m), many)
    shape = len(heights_m), len(goals.north_rad), len(moves_m)
    return np.asarray(in_time[0].reshape(shape).mean(axis=2))


def _moved(goals: Goals, moves_m: FloatArray, cosine: float) -> Goals:
    n = len(moves_m)
    many = {name: np.repeat(values, n) for name, values in goals._asdict().items()}
    times = len(goals.north_rad)
    many["north_rad"] = many["north_rad"] + np.tile(moves_m[:, 0], times) / EARTH_M
    many["east_rad"] = many["east_rad"] + np.tile(moves_m[:, 1], times) / (EARTH_M * cosine)
    return Goals(**many)
