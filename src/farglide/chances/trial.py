"""Trial: a flight computed coarsely, to compare with it what is changed or launched elsewhere."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.arrays import IntArray
from farglide.chances.case import median_offset
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.spells import shut_s
from farglide.chances.window import Decision, window_of
from farglide.errors import ContradictionError, InputError

_N_DRAWS: Final = 200
_CLOCK_S: Final = 60.0
_MOST_FLOWN: Final = 8_000
STEP_M: Final = 500.0
_PRICES_MPS: Final = (4.0, 12.0, 30.0, 100.0, 1000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """A coarser ensemble with its chances, and the summary that changes are compared by."""

    ensemble: Ensemble
    chances: Chances
    chance_ratio: float  # of the first field above the wanted height
    shut_s: float
    release_by_s: float  # NaN when nothing opens


def coarse_trial(full: Ensemble, decision: Decision | None) -> Trial:
    """Return the flight again with the first of its draws, for the chosen field alone.

    Where nothing above the wanted height is worth a release, the whole climb is looked at too.
    """
    sortie, grain = full.sortie, full.grain
    if decision is not None:
        wish = sortie.wish if decision.above_wanted else replace(sortie.wish, wanted_amsl_m=0.0)
        sortie = replace(sortie, fields=(sortie.fields[decision.field],), wish=wish)
    n_draws = min(_N_DRAWS, grain.n_draws)
    grain = replace(grain, n_draws=n_draws, clock_s=_CLOCK_S, prices_mps=_PRICES_MPS, slab=5)
    grain = replace(grain, most_flown=_MOST_FLOWN)
    coarse = drawn_ensemble(sortie, full.air.sounding, grain, full.workers)
    return summed_up(replace(coarse, listening=full.listening))


def summed_up(ensemble: Ensemble) -> Trial:
    """Return the ensemble with its chances and the summary of its first field."""
    chances = chances_of_heights(ensemble, STEP_M)
    chance_ratio, closed_s, release_by_s = 0.0, 0.0, float("nan")
    if ensemble.sortie.fields:
        window = window_of(ensemble, chances, 0)
        chance_ratio, release_by_s = window.chance_ratio, window.release_by_s
        closed_s = shut_s(chances, 0, ensemble.sortie.wish, median_burst_s(ensemble))
    return Trial(
        ensemble=ensemble,
        chances=chances,
        chance_ratio=chance_ratio,
        shut_s=closed_s,
        release_by_s=release_by_s,
    )


def tried(changed: Callable[[], Ensemble]) -> Trial | None:
    """Return the trial of a changed ensemble, or None for a change that leaves what is possible."""
    try:
        return summed_up(changed())
    except (InputError, ContradictionError):
        return None


def moments_of(ensemble: Ensemble) -> IntArray:
    """Return the moments worth asking about: until hardly a balloon is left."""
    flying = (~np.isnan(ensemble.climbs.tracks.amsl_m)).mean(axis=0) > 0.2
    keep = (ensemble.climbs.burst_ratio < 0.995) & flying
    last = int(np.nonzero(keep)[0][-1]) if keep.any() else 0
    return np.arange(last + 1, dtype=np.int64)


def median_burst_s(ensemble: Ensemble) -> float:
    """Return the moment by which half the balloons have burst.

    Where fewer than half ever do, the climb ends when the middle balloon is highest: a balloon that
    leaks tops out, and one that never bursts leaves the column.
    """
    tracks = ensemble.climbs.tracks
    past = np.nonzero(ensemble.climbs.burst_ratio >= 0.5)[0]
    if len(past):
        return float(past[0] * tracks.step_s)
    flying = (~np.isnan(tracks.amsl_m)).mean(axis=0) > 0.5
    n = max(int(flying.sum()), 1)
    middle = np.nanmedian(tracks.amsl_m[:, :n], axis=0)
    return float(np.argmax(middle) * tracks.step_s)


def best_chance(ensemble: Ensemble, chances: Chances, field: int) -> float:
    """Return the best chance of a field above the wanted height."""
    high = chances.amsl_m >= ensemble.sortie.wish.wanted_amsl_m
    return float(chances.chance_ratio[high, field].max()) if high.any() else 0.0


def drift_axis_rad(ensemble: Ensemble) -> float:
    """Return the direction of the median drift at the median burst, from north through east."""
    tracks = ensemble.climbs.tracks
    j = min(int(median_burst_s(ensemble) / tracks.step_s), tracks.amsl_m.shape[1] - 1)
    north, east = median_offset(ensemble, j)
    return float(np.arctan2(east * ensemble.air.scene.frame.cosine, north))
