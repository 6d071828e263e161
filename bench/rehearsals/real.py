"""Real: sorties whose winds came as another real sounding says, planned on the earlier one."""

from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from bench.odds.cases import Chosen, chosen, common_top_m
from bench.odds.gear import EARTH_M, WORKERS, cosine_of, sortie_of
from bench.odds.pairs import Pair
from bench.rehearsals.sorties import N_DRAWS, Flown, flown_on
from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.atlas.fields import Field
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_climbs
from farglide.chances.heights import chances_of_heights
from farglide.chances.parts import Air
from farglide.earth.state import place_deg
from farglide.gather.accept import accepted
from farglide.live.asking import as_planned
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import Truth, truth_of
from farglide.sim.core.airerrors import no_air_errors
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

LEAST_TOP_M: Final = 24_000.0
_DRIFT_M: Final = 24_000.0
_TOLD: Final = (0.6, 0.8, 0.92)
"""The best chance of the plan above the wanted height: home lies so far up the wind."""
_FIRST_LOOK_S: Final = 600.0
_FARTHEST_M: Final = 400_000.0
_N_HALVINGS: Final = 6
_SEED: Final = 100_000
_PLAIN: Final = Grain(n_draws=50)
_COARSE: Final = Grain(n_draws=100)


def real_flown(n_gears: int, known: Collection[int]) -> Iterator[Flown]:
    """Yield how every crew fared on each pair of open soundings, with so many sets of gear.

    `known`: sorties that were flown before.
    """
    pairs = [one for one in chosen() if common_top_m(one.pair) >= LEAST_TOP_M]
    for k in range(n_gears):
        for number, one in enumerate(pairs):
            seed = _SEED * (k + 1) + number
            if seed not in known:
                yield _flown(one, _TOLD[(number + k) % len(_TOLD)], seed)


def real_truth(planned: Ensemble, pair: Pair, seed: int) -> Truth:
    """Return gear drawn anew in the winds as they came; its crew knows those of the plan."""
    truth = truth_of(planned, Changes(), seed)
    air = _air_of(planned.sortie, pair)
    still = no_air_errors(1, len(air.column.layers.p_pa))._asdict()
    drawn = truth.drawn._replace(swarm=truth.drawn.swarm._replace(**still))
    return replace(truth, air=air, drawn=drawn)


def _flown(one: Chosen, told: float, seed: int) -> Flown:
    planned = _planned(one.pair, told)
    day = f"real winds, told {one.kind.name} before or beside"
    truth = real_truth(planned, one.pair, seed)
    return flown_on(Sitting(planned, truth, seed, _FIRST_LOOK_S), day)


def _planned(pair: Pair, told: float) -> Ensemble:
    """Return the plan by the earlier sounding, home as far up the wind as is told with a chance."""
    bare = sortie_of(pair)
    bare = replace(bare, wish=replace(bare.wish, bring_to="home"), fields=bare.fields[:1])
    pack = accepted(bare, pair.forecast.sounding, "open data")
    drift = _drift_m(bare, pack.sounding)
    near_m, far_m = 0.0, _FARTHEST_M
    for _ in range(_N_HALVINGS):
        away_m = 0.5 * (near_m + far_m)
        found = as_planned(_home_at(bare, drift, away_m), pack, _COARSE, WORKERS)
        chances = chances_of_heights(found)
        high = chances.amsl_m >= bare.wish.wanted_amsl_m
        best = float(np.max(chances.chance_ratio[high], initial=0.0))
        near_m, far_m = (away_m, far_m) if best > told else (near_m, away_m)
    return as_planned(_home_at(bare, drift, near_m), pack, Grain(n_draws=N_DRAWS), WORKERS)


def _drift_m(sortie: Sortie, sounding: Sounding) -> FloatArray:
    """Return how far north and east the winds that are told carry a balloon on its way up."""
    tracks = plain_climbs(sortie, sounding, _PLAIN).tracks
    known = np.flatnonzero(np.isfinite(tracks.amsl_m[0]))
    at = known[min(int(np.searchsorted(tracks.amsl_m[0, known], _DRIFT_M)), len(known) - 1)]
    north, east = float(tracks.north_rad[0, at]), float(tracks.east_rad[0, at])
    return EARTH_M * np.array([north, cosine_of(sortie) * east])


def _home_at(sortie: Sortie, drift_m: FloatArray, away_m: float) -> Sortie:
    """Return the sortie with one field, so far up the wind from where the drift ends."""
    north_m, east_m = drift_m * (1.0 - away_m / np.hypot(*drift_m))
    north_rad, east_rad = north_m / EARTH_M, east_m / (EARTH_M * cosine_of(sortie))
    lat_deg, lon_deg = place_deg(sortie.launch, north_rad, east_rad)
    ground_m = sortie.launch.amsl_m
    home = Field(name="home", lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=ground_m)
    return replace(sortie, fields=(home,))


def _air_of(sortie: Sortie, pair: Pair) -> Air:
    """Return the air of the other sounding, cut into layers as that of the plan."""
    return drawn_ensemble(sortie, pair.truth.sounding, _PLAIN, WORKERS).air
