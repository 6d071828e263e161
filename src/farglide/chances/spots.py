"""Spots: the same draws launched elsewhere, by moving the fields and the car instead."""

from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_by, rules_of
from farglide.chances.trial import STEP_M, drift_axis_rad
from farglide.earth.geodesy import east_north_m, offsets_deg
from farglide.earth.state import Place, offsets_rad
from farglide.rig.drives import home_place, manned_s
from farglide.sim.core.moved import moved_goals
from farglide.sim.core.release import Goals
from farglide.sim.core.rule import Rules

_AT_ONCE: Final = 64
"""So many spots are asked together: all at once would need much room."""
_FEWEST_DRAWS: Final = 20
"""Links are asked for so many draws: what they have left differs little between draws."""
_LOW_STEP_M: Final = 1000.0
_FLOWN_STEP_M: Final = 2000.0
_FEW_ASIDE_RATIO: Final = 0.05
_MOST_FLOWN: Final = 100_000
"""Nearly all that is set aside is flown: between the few moments asked here chances change."""


class Spots(NamedTuple):
    """Spots by their way up the drift from home and to its left, and where they are, (n_spots,)."""

    up_m: FloatArray
    left_m: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """What is asked of spots: with which draws, where they drift to, released by which rules."""

    ensemble: Ensemble
    axis_rad: float
    every: Rules
    few: Rules  # those of them that are enough for a spot of many
    from_amsl_m: float


class Asked(NamedTuple):
    """Chances of spots."""

    fields: FloatArray  # (n_spots, n_fields), released at the wished height or above
    low: FloatArray  # (n_spots,) of home, released at any height


def spots_at(ensemble: Ensemble, axis_rad: float, up_m: FloatArray, left_m: FloatArray) -> Spots:
    """Return spots up the drift from home and to its left. `axis_rad`: where the drift goes."""
    north_m = -up_m * np.cos(axis_rad) + left_m * np.sin(axis_rad)
    east_m = -up_m * np.sin(axis_rad) - left_m * np.cos(axis_rad)
    return Spots(up_m, left_m, *offsets_deg(home_place(ensemble.sortie), east_m, north_m))


def spot_at(ensemble: Ensemble, axis_rad: float, place: Place) -> Spots:
    """Return a place as one spot."""
    away = east_north_m(home_place(ensemble.sortie), place)
    cosine, sine = np.cos(axis_rad), np.sin(axis_rad)
    up_m = -away.north_m * cosine - away.east_m * sine
    left_m = away.north_m * sine - away.east_m * cosine
    return Spots(*(np.array([one]) for one in (up_m, left_m, place.lat_deg, place.lon_deg)))


def some_of(spots: Spots, chosen: IntArray | BoolArray | slice) -> Spots:
    """Return some of the spots."""
    return Spots(*(one[chosen] for one in spots))


def fields_from(ensemble: Ensemble, spots: Spots) -> Goals:
    """Return the fields as draws launched at spots have them, spot by spot."""
    offsets = offsets_rad(ensemble.sortie.launch, spots.lat_deg, spots.lon_deg)
    return moved_goals(ensemble.air.scene, ensemble.goals, *offsets)


def heard_from(ensemble: Ensemble, spots: Spots) -> Ensemble:
    """Return the ensemble with each stand manned when the car gets there from a spot.

    One row for each goal of `fields_from`; for one spot alone one row for all, as usual.
    """
    listening = ensemble.listening
    if listening is None:
        return ensemble
    ready_s = manned_s(ensemble.sortie, spots.lat_deg, spots.lon_deg)
    rows = np.repeat(ready_s, len(ensemble.goals.north_rad), axis=0)
    told = replace(listening, ready_s=rows, fewest_draws=_FEWEST_DRAWS)
    if len(ready_s) == 1:
        told = replace(listening, ready_s=ready_s[0])
    return replace(ensemble, listening=told)


def thinned(amsl_m: FloatArray, from_amsl_m: float, high_step_m: float) -> IntArray:
    """Return which heights of release are enough to find the best chance to 2 points.

    Of those below the height from which releases count every kilometre, then as far apart as said:
    a stand may be manned in between. The last is kept.

    >>> thinned(np.arange(0.0, 4500.0, 500.0), 3500.0, 0.0).tolist()
    [0, 2, 4, 6, 7, 8]
    """
    kept = [0]
    for j in range(1, len(amsl_m)):
        step_m = high_step_m if amsl_m[j] >= from_amsl_m else _LOW_STEP_M
        begins = amsl_m[j - 1] < from_amsl_m <= amsl_m[j]
        if begins or abs(amsl_m[j] - amsl_m[kept[-1]]) >= step_m - 1.0:
            kept.append(j)
    return np.unique(np.array([*kept, len(amsl_m) - 1], dtype=np.int64))


def _high_step_m(ensemble: Ensemble) -> float:
    """Return how far apart heights are asked from the wished one on.

    Where a cross wind sets many draws aside, they are flown one by one: fewer heights are asked
    there, between which the best chance differs by less than 2 points.
    """
    aside = ensemble.reach.reaches.free.beaten_amsl_m[:, :, 1] > 0.0
    return _FLOWN_STEP_M if float(aside.mean()) > _FEW_ASIDE_RATIO else 0.0


def asking_of(ensemble: Ensemble) -> Asking:
    """Return what is asked of spots with the draws of an ensemble.

    Where no balloon gets to the wished height, releases count from any height.
    """
    every, wanted_m = rules_of(ensemble, STEP_M), ensemble.sortie.wish.wanted_amsl_m
    from_m = wanted_m if (every.amsl_m >= wanted_m).any() else 0.0
    few = thinned(every.amsl_m, from_m, _high_step_m(ensemble))
    grain = replace(ensemble.grain, most_flown=_MOST_FLOWN)
    return Asking(
        ensemble=replace(ensemble, grain=grain),
        axis_rad=drift_axis_rad(ensemble),
        every=every,
        few=Rules._make(one[few] for one in every),
        from_amsl_m=from_m,
    )


def asked(asking: Asking, spots: Spots) -> Asked:
    """Return the chances of every field for launches at spots.

    Where no stand is manned before the last balloon is gone, they are none.
    """
    n_fields = len(asking.ensemble.goals.north_rad)
    fields, low = np.zeros((len(spots.up_m), n_fields)), np.zeros(len(spots.up_m))
    worth = np.flatnonzero(hopeful(asking, spots))
    for first in range(0, len(worth), _AT_ONCE):
        some = worth[first : first + _AT_ONCE]
        fields[some], low[some] = _asked_at_once(asking, some_of(spots, some))
    return Asked(fields, low)


def _asked_at_once(asking: Asking, spots: Spots) -> Asked:
    """Return the chances of some spots; below the wished height of home alone."""
    ensemble, high = asking.ensemble, asking.few.amsl_m >= asking.from_amsl_m
    fields = _best_chances(ensemble, Rules._make(one[high] for one in asking.few), spots)
    if high.all():
        return Asked(fields, fields[:, 0])
    home = replace(ensemble, goals=Goals._make(one[:1] for one in ensemble.goals))
    low = _best_chances(home, Rules._make(one[~high] for one in asking.few), spots)
    return Asked(fields, np.maximum(fields[:, 0], low[:, 0]))


def _best_chances(ensemble: Ensemble, rules: Rules, spots: Spots) -> FloatArray:
    """Return the best chance by some rules of each field for launches at spots."""
    heard = heard_from(ensemble, spots)
    found = chances_by(heard, rules, fields_from(ensemble, spots))
    chance = found.chance_ratio.reshape(len(rules.amsl_m), len(spots.up_m), -1)
    return np.asarray(chance.max(axis=0))


def first_manned_s(asking: Asking, spots: Spots) -> FloatArray:
    """Return from when after a launch at spots the first stand is manned; NaN without stands."""
    if not asking.ensemble.sortie.stands:
        return np.full(len(spots.up_m), np.nan)
    ready_s = manned_s(asking.ensemble.sortie, spots.lat_deg, spots.lon_deg)
    return np.asarray(ready_s.min(axis=1))


def hopeful(asking: Asking, spots: Spots) -> BoolArray:
    """Tell from which spots any stand is manned in time, where links are needed."""
    ensemble = asking.ensemble
    if ensemble.listening is None or not ensemble.listening.needed:
        return np.ones(len(spots.up_m), dtype=np.bool_)
    return first_manned_s(asking, spots) <= float(asking.few.until_s[-1])
