"""Ahead: the winds of the rest of a climb, told out of those measured below, beside what came.

Real climbs against an older sounding, and climbs made up in the winds of a neighbour; by the time
that a balloon really stayed in each layer, so that its own climb plays no part.
Run: python -m bench.replays.ahead --out docs/ahead.txt
"""

import argparse
import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from bench.odds.cases import chosen, common_top_m
from bench.odds.gear import WORKERS, sortie_of
from bench.odds.light import is_dark
from bench.odds.pairs import Pair
from bench.replays.replayed import Flown, fixes_to, flown_of, real_pairs
from bench.replays.replayedtable import ASKED_M
from bench.value.paired import share
from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.earth.heights import geometric_at_m
from farglide.gather.accept import accepted
from farglide.rig.airdoubts import air_doubts_of
from farglide.sim.core.airerrors import AirDoubts
from farglide.sim.core.learnt import Measured, crossed_with, missed_mps, scaled, seen_with
from farglide.sim.core.spread import spread_ratios
from farglide.sim.core.step import _metres_per_rad
from farglide.sortie.grain import Grain
from farglide.track.drift import Been, measured_winds

_GRAIN: Final = Grain(n_draws=50, prices_mps=(8.0,), slab=5)  # only its air is asked for
_TOP_M: Final = 27_000.0
_LOWEST_TOP_M: Final = 15_000.0
_LEAST_LEFT_M: Final = 1_000.0
_PLACE_SD_M: Final = 10.0
_CLIMB_MPS: Final = 5.0
_LEAST_KM: Final = 20.0
_EXACT_MPS: Final = 1e-3
_HALF, _NINE_IN_TEN = 2.0 * np.log(2.0), 2.0 * np.log(10.0)
"""Squares of the distance inside which a normal law in two directions lies so often."""


class Ahead(NamedTuple):
    """One climb asked from one height; `square`: of its miss over what was told, both ways."""

    from_m: float
    square: float
    miss_m: float
    group: int


def real_climbs() -> Iterator[tuple[Ensemble, Flown, float, int]]:
    """Yield what was told before each real climb, the climb, its top, and which flight it was."""
    for pair in real_pairs():
        flown = flown_of(pair.truth.sounding)
        top_m = min(float(flown.amsl_m[-1]) - 100.0, _TOP_M, pair.forecast.sounding.top_gph_m)
        if top_m >= _LOWEST_TOP_M:
            yield _told(pair), flown, top_m, int(pair.truth.sounding.t_s)


def made_climbs() -> Iterator[tuple[Ensemble, Flown, float, int]]:
    """Yield the same of even climbs in the winds of neighbours of one hour."""
    numbers: dict[str, int] = {}
    for one in chosen():
        top_m = common_top_m(one.pair) - 200.0
        if one.pair.distance_km >= _LEAST_KM and top_m >= _LOWEST_TOP_M:
            told = _told(one.pair)
            flown = _in_winds_of(one.pair, told)
            yield told, flown, min(top_m, _TOP_M), numbers.setdefault(one.group, len(numbers))


def _told(pair: Pair) -> Ensemble:
    bare = sortie_of(pair)
    bare = replace(bare, fields=bare.fields[:1])
    return drawn_ensemble(
        bare, accepted(bare, pair.forecast.sounding, "open data").sounding, _GRAIN, WORKERS
    )


def _in_winds_of(pair: Pair, told: Ensemble) -> Flown:
    """Return an even climb in the winds of the pair's other sounding."""
    sounding, layers = pair.truth.sounding, told.air.scene.layers
    z = np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])
    edges = layers.base_amsl_m + layers.step_m * np.arange(len(layers.rho_kgpm3) + 1.0)
    middle, seconds = 0.5 * (edges[1:] + edges[:-1]), layers.step_m / _CLIMB_MPS
    meridian, parallel = _metres_per_rad(told.air.scene.frame, 0.0)
    ways = [
        np.concatenate([[0.0], np.cumsum(np.interp(middle, z, wind) * layers.shortening_ratio)])
        for wind in (sounding.v_mps, sounding.u_mps)
    ]
    t_s = seconds * np.arange(len(edges))
    return Flown(t_s, edges, seconds * ways[0] / meridian, seconds * ways[1] / parallel)


def asked(told: Ensemble, flown: Flown, top_m: float, group: int) -> Iterator[Ahead]:
    """Yield by how much the winds ahead were off, from each height."""
    scene, doubts = told.air.scene, air_doubts_of(told.sortie, told.air.column)
    for from_m in ASKED_M:
        if from_m > top_m - _LEAST_LEFT_M:
            continue
        base_m = scene.layers.base_amsl_m
        known = fixes_to(flown, max(from_m, base_m + _LEAST_LEFT_M), base_m)
        below = Been(*(one[:1] for one in known)) if from_m == 0.0 else known
        ahead = _stretch(told, flown, float(below.amsl_m[-1]), top_m)
        missed, said = beside(doubts, measured_winds(scene, below, _PLACE_SD_M), ahead)
        seconds = np.diff(np.interp([below.amsl_m[-1], top_m], *_rising(flown)))[0]
        square = float(missed @ np.linalg.solve(said, missed))
        yield Ahead(from_m, square, float(np.hypot(*missed) * seconds), group)


def _rising(flown: Flown) -> tuple[FloatArray, FloatArray]:
    rises = np.concatenate([[True], np.diff(np.maximum.accumulate(flown.amsl_m)) > 0.0])
    return flown.amsl_m[rises], flown.t_s[rises]


def _stretch(told: Ensemble, flown: Flown, low_m: float, top_m: float) -> Measured:
    """Return the mean wind of the rest of a climb, as if it had been measured without error."""
    layers = told.air.scene.layers
    edges = layers.base_amsl_m + layers.step_m * np.arange(len(layers.rho_kgpm3) + 1.0)
    stay_s = np.diff(np.interp(np.clip(edges, low_m, top_m), *_rising(flown)))
    z, t_s = _rising(flown)
    rises = np.isin(flown.t_s, t_s)
    ways = [np.diff(np.interp([low_m, top_m], z, one[rises]))[0]
            for one in (flown.east_rad, flown.north_rad)]  # fmt: skip
    middle = float(np.interp(low_m, z, flown.north_rad[rises]))
    meridian, parallel = _metres_per_rad(told.air.scene.frame, middle)
    share_ratio = stay_s / stay_s.sum()
    longer = 1.0 / float(share_ratio @ layers.shortening_ratio) / stay_s.sum()
    wind = longer * np.array([parallel * ways[0], meridian * ways[1]])
    was = share_ratio @ np.stack([layers.u_mps[0], layers.v_mps[0]], axis=1)
    return Measured(share_ratio[None], (wind - was)[None], np.array([_EXACT_MPS]))


def beside(doubts: AirDoubts, below: Measured, ahead: Measured) -> tuple[FloatArray, FloatArray]:
    """Return by how much the mean wind ahead is off what is told of it, and the covariance told."""
    wide = scaled(doubts, spread_ratios(doubts, below))
    both = Measured(
        np.vstack([below.share_ratio, ahead.share_ratio]),
        np.vstack([below.off_mps, ahead.off_mps]),
        np.append(below.sd_mps, ahead.sd_mps),
    )
    seen = seen_with(crossed_with(wide, both.share_ratio), both)
    missed = missed_mps(wide, both).reshape(-1)
    weights = np.linalg.solve(seen[:-2, :-2], seen[:-2, -2:]).T
    return missed[-2:] - weights @ missed[:-2], seen[-2:, -2:] - weights @ seen[:-2, -2:]


def ahead_rows(found: list[Ahead]) -> list[str]:
    """Return by the height asked from how often the winds ahead came inside, and how far off."""
    rows = [f"{'asked from':14}climbs  groups  miss, median  inside 50 %         inside 90 %"
            "         scale"]  # fmt: skip
    for from_m in ASKED_M:
        some = [one for one in found if one.from_m == from_m]
        if not some:
            continue
        square, group = (np.array([getattr(one, name) for one in some])
                         for name in ("square", "group"))  # fmt: skip
        miss_km = float(np.median([one.miss_m for one in some])) / 1e3
        where = "the launch" if from_m == 0.0 else f"{from_m / 1e3:.0f} km"
        inside = "".join(
            f"{_told_share(square < most, group):20}" for most in (_HALF, _NINE_IN_TEN)
        )
        rows.append(f"{where:14}{len(some):6d}{len(set(group.tolist())):8d}{miss_km:11.1f} km  "
                    f"{inside}{np.sqrt(0.5 * square.mean()):.2f}")  # fmt: skip
    return rows


def _told_share(inside: BoolArray, groups: IntArray) -> str:
    found = share(inside, groups)
    return f"{found.mean:.2f} ({found.low:.2f} to {found.high:.2f})"


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    rows = ["The winds of the rest of the climb, told out of those measured below; scale: how many",
            "times as wide they should have been told. In brackets: 95 % of the values with whole",
            "flights, or days and places, drawn anew."]  # fmt: skip
    real = [one for each in real_climbs() for one in asked(*each)]
    dark = {int(pair.truth.sounding.t_s): is_dark(pair.truth.sounding) for pair in real_pairs()}
    for name, found in (
        ("Real climbs, planned on an older sounding", real),
        ("Those flown by day", [one for one in real if not dark[one.group]]),
        ("Those flown in the dark", [one for one in real if dark[one.group]]),
        ("Even climbs in the winds of a neighbour of the same hour",
         [one for each in made_climbs() for one in asked(*each)]),
    ):  # fmt: skip
        rows += ["", name, *ahead_rows(found)]
    text = "\n".join(rows) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
