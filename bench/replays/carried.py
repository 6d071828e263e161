"""Carried: real climbs in which nothing is heard for a time, followed by the filter."""

from typing import Final, NamedTuple

import numpy as np

from bench.odds.pairs import Pair
from bench.replays.replayed import Flown, fixes_to, flown_of, planned, real_pairs
from farglide.chances.after.storylaws import laws_of
from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import informed
from farglide.track.drift import Been
from farglide.track.filter.begun import Last, begun
from farglide.track.filter.observed import Nothing, Observed
from farglide.track.filter.particles import Story
from farglide.track.filter.step import step
from farglide.track.filter.told import rank_of, where

FROM_M: Final = (5_000.0, 10_000.0, 15_000.0, 20_000.0)
BLIND_S: Final = (60.0, 180.0, 300.0, 600.0)
NEAR_M: Final = 2_000.0
_PLACE_SD_M: Final = 10.0
_LONGEST_S: Final = 1200.0


class Blind(NamedTuple):
    """One climb that was not heard for a time."""

    from_m: float
    blind_s: float
    rank: float
    most_m: float
    miss_m: float
    high_m: float
    high_most_m: float


def carried() -> list[Blind]:
    """Return where the filter has real climbs that are not heard for some times."""
    return [row for pair in real_pairs() for row in _of(pair)]


def _of(pair: Pair) -> list[Blind]:
    flown, before = flown_of(pair.truth.sounding), planned(pair)
    found = list[Blind]()
    for from_m in FROM_M:
        been = fixes_to(flown, from_m, before.air.scene.layers.base_amsl_m)
        if len(been.t_s) < 5 or flown.amsl_m[-1] < from_m + 1_000.0:
            continue
        found += _blinded(flown, before, been, from_m)
    return found


def _blinded(flown: Flown, before: Ensemble, been: Been, from_m: float) -> list[Blind]:
    now_s = float(been.t_s[-1])
    laws = laws_of(informed(before, been, _PLACE_SD_M, now_s + _LONGEST_S).ensemble)
    last = Last(*(float(one[-1]) for one in been))
    particles = begun(laws, last, {Story.CARRIED: 1.0})
    found = list[Blind]()
    for seconds in BLIND_S:
        if now_s + seconds > flown.t_s[-1]:
            continue
        then = step(laws, particles, Observed(0, now_s + seconds, Nothing())).particles
        came = [float(np.interp(now_s + seconds, flown.t_s, one)) for one in flown[1:]]
        said = where(laws, then)
        cosine = laws.movers.scene.frame.cosine
        miss = 6.371e6 * np.hypot(came[1] - said.north_rad, (came[2] - said.east_rad) * cosine)
        found.append(Blind(
            from_m, seconds, rank_of(laws, then, came[1], came[2]), said.most_within_m,
            float(miss), came[0] - said.amsl_m, said.amsl_most_m,
        ))  # fmt: skip
    return found


def carried_rows(found: list[Blind]) -> list[str]:
    """Return the table: by how long nothing was heard, how near, how wide, how often inside."""
    rows = [
        "Real climbs, planned on an older sounding, a fix each half minute up to 5, 10, 15 and",
        "20 km, then nothing heard. Medians of the distance missed and of the circle told; how",
        "often it came inside, and nearer than 2 km to the middle.",
        f"{'not heard':12}{'asked':>7}{'miss':>9}{'9 in 10 within':>16}{'inside 50 %':>13}"
        f"{'inside 90 %':>13}{'height, 90 %':>14}{'under 2 km':>12}",
    ]
    for seconds in BLIND_S:
        some = [one for one in found if one.blind_s == seconds]
        rank = np.array([one.rank for one in some])
        away = np.array([one.miss_m for one in some])
        most = np.median([one.most_m for one in some])
        high = np.mean([abs(one.high_m) <= one.high_most_m for one in some])
        rows.append(
            f"{seconds / 60.0:3.0f} min     {len(some):7d}{np.median(away):7.0f} m{most:14.0f} m"
            f"{(rank <= 0.5).mean():13.2f}{(rank <= 0.9).mean():13.2f}{high:14.2f}"
            f"{(away < NEAR_M).mean():12.2f}"
        )
    return rows
