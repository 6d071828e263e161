"""Outcomes: what was said of each case beside what came of it, as rows for the tables."""

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

import numpy as np

from bench.odds.cases import Chosen, chosen, common_top_m
from bench.odds.crew import came_home
from bench.odds.gear import (
    EARTH_M,
    chances_at,
    cosine_of,
    in_truth,
    moved_share,
    passages,
    planned,
    reached_share,
)
from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble
from farglide.sortie.grain import Grain

HEIGHTS_M: Final = (8_000.0, 12_000.0, 16_000.0, 20_000.0, 25_000.0)
SPREADS_M: Final = (2e3, 4e3, 7e3, 10e3, 14e3, 20e3, 28e3)
"""Constant spreads that the chances are held against."""
_LOW_M: Final = 10_000.0
_TOP_M: Final = 27_000.0
_BELOW_TOP_M: Final = 300.0
_N_MOVES: Final = 24
_N_DRAWS: Final = 300
_N_TRUE: Final = 8
_N_TRUE_TOPS: Final = 50
_TRUE_SEED: Final = 7_001
"""Of the first pair's truth; each has the next: none is that of a plan."""


class Area(NamedTuple):
    """Where the true balloons passed a height, beside the stated area."""

    rank: FloatArray  # (n_true,): share of the draws nearer to the middle
    miss_ratio: FloatArray  # (n_true,): distance over the root mean square of the draws'


class Outcome(NamedTuple):
    """One case; chances and shares (n_heights, n_fields), by each constant spread before that."""

    kind: str
    campaign: str
    group: str  # day and place
    low: Area  # at 10 km
    area: Area  # at 27 km, or up to where both winds are known
    stated: FloatArray
    in_reach: FloatArray  # share of the true flights whose best path ends there in time
    came: FloatArray  # share of the true flights that came there in time, speed judged on the way
    as_planned: FloatArray  # and of those at the speed that the plan made look best
    constant: FloatArray  # (n_spreads, n_heights, n_fields)


def outcomes(
    cases: Sequence[Chosen] | None = None,
    tell: Callable[[str], None] = lambda text: None,
) -> list[Outcome]:
    """Return what came of all cases, or of those given."""
    among = chosen() if cases is None else cases
    found = []
    for i, one in enumerate(among):
        found.append(_outcome(one, _TRUE_SEED + i))
        tell(f"\r{i + 1} of {len(among)} pairs")
    return found


def _outcome(one: Chosen, true_seed: int) -> Outcome:
    pair = one.pair
    case = planned(pair, Grain(n_draws=_N_DRAWS))
    truth = in_truth(pair, Grain(n_draws=_N_TRUE_TOPS, seed=true_seed))
    top_m = min(common_top_m(pair) - _BELOW_TOP_M, _TOP_M)
    heights_m = np.array([h for h in HEIGHTS_M if h <= top_m])
    home = came_home(case.plain, truth, heights_m, _N_TRUE)
    moves = np.random.default_rng(1).normal(0.0, 1.0, (_N_MOVES, 2))
    return Outcome(
        kind=one.kind.name,
        campaign=pair.truth.campaign,
        group=one.group,
        low=area_of(case.drawn, truth, _LOW_M),
        area=area_of(case.drawn, truth, top_m),
        stated=chances_at(case, heights_m),
        in_reach=reached_share(truth, heights_m),
        came=home.judged.mean(axis=0),
        as_planned=home.planned.mean(axis=0),
        constant=np.array([moved_share(case, heights_m, s * moves) for s in SPREADS_M]),
    )


def area_of(drawn: Ensemble, truth: Ensemble, top_m: float) -> Area:
    """Return how the true passages of a height lie in the stated area.

    The area is that of the program: a circle round the middle, as wide as a share of the draws
    needs.
    """
    said, came = _places_m(drawn, top_m), _places_m(truth, top_m)
    middle = np.median(said, axis=0)
    away, miss = np.hypot(*(said - middle).T), np.hypot(*(came - middle).T)
    rank = np.searchsorted(np.sort(away), miss) / len(away)
    return Area(np.asarray(rank), miss / float(np.sqrt((away**2).mean())))


def _places_m(ensemble: Ensemble, height_m: float) -> FloatArray:
    """Return metres north and east of the launch where the draws pass a height."""
    at = passages(ensemble, np.array([height_m]))
    north_m = EARTH_M * at.north_rad[:, 0]
    east_m = EARTH_M * cosine_of(ensemble.sortie) * at.east_rad[:, 0]
    both = np.column_stack([north_m, east_m])
    return both[np.isfinite(both).all(axis=1)]
