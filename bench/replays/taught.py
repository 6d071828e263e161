"""Taught: drag learnt from half of the open flights, and how well it tells the climb of the others.

Run: python -m bench.replays.taught --out docs/taught.txt
"""

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from bench.odds.gear import sortie_of
from bench.odds.pairs import Pair
from bench.replays.replayed import Flown, flown_of, real_pairs
from farglide.arrays import FloatArray
from farglide.chances.ensemble import plain_climbs
from farglide.gather.accept import accepted
from farglide.review.climb import climb_shown
from farglide.review.pooled import Belief, Shown, next_value
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been

_GRAIN: Final = Grain(clock_s=30.0, prices_mps=(8.0,), slab=5)
_EVERY_S: Final = 30.0
_LOW_M: Final = 1000.0
_TOP_M: Final = 20_000.0
_LEAST_TOP_M: Final = 12_000.0
_DRAG_SD: Final = 0.15
_OWN_RATIO: Final = 0.5


class Taught(NamedTuple):
    """One flight: its campaign, what it shows of the drag, and its climb less that of a drag."""

    campaign: str
    drag: Shown
    mean_mps: float
    pair: Pair
    flown: Flown


class Missed(NamedTuple):
    """By how much a mean climb was off, as a share: with the default drag and with the learnt."""

    campaign: str
    default_ratio: float
    learnt_ratio: float


def taught_by(pair: Pair) -> Taught | None:
    """Return what one flight shows, None where it did not come high enough."""
    flown = flown_of(pair.truth.sounding)
    top_m = min(float(flown.amsl_m[-1]) - 100.0, _TOP_M)
    if top_m < _LEAST_TOP_M:
        return None
    sortie, pack = _given(pair)
    shown = climb_shown(sortie, pack.sounding, _been(flown, top_m)).drag
    if shown is None:
        return None
    return Taught(
        pair.truth.campaign, shown, _mean_mps(flown.t_s, flown.amsl_m, top_m), pair, flown
    )


def missed_by(one: Taught, drag: float) -> Missed:
    """Return how far the default and a learnt drag are off the mean climb of a flight."""
    top_m = min(float(one.flown.amsl_m[-1]) - 100.0, _TOP_M)
    found = []
    for factor in (1.0, drag):
        sortie, pack = _given(one.pair, factor)
        tracks = plain_climbs(sortie, pack.sounding, _GRAIN).tracks
        known = np.flatnonzero(np.isfinite(tracks.amsl_m[0]))
        mean_mps = _mean_mps(tracks.step_s * known, tracks.amsl_m[0, known], top_m)
        found.append(mean_mps / one.mean_mps - 1.0)
    return Missed(one.campaign, *found)


def rows_of(found: list[Taught]) -> list[str]:
    """Return the table: of each campaign the drag of its even flights, asked of its odd ones."""
    lines = [
        "Drag learnt from every other open flight of a campaign, asked of those between: how far",
        "the mean climb from 1 to 20 km is off, root mean square. Nobody knows these fills: the",
        "drag takes what they differ from a usual one, so it is that of the campaign's practice.",
        f"{'campaign':20}{'taught by':>10}{'asked of':>10}{'drag':>16}{'usual':>12}{'learnt':>10}",
    ]
    every = list[Missed]()
    for campaign in dict.fromkeys(one.campaign for one in found):
        some = [one for one in found if one.campaign == campaign]
        first, others = some[::2], some[1::2]
        if not others:
            continue
        told = next_value(Belief(1.0, _DRAG_SD, _OWN_RATIO), [one.drag for one in first])
        missed = [missed_by(one, told.value) for one in others]
        every += missed
        drag = f"{told.value:.2f} ± {told.sd:.2f}"
        lines.append(f"{campaign[:19]:20}{len(first):10d}{len(others):10d}{drag:>16}{_rms(missed)}")
    lines.append(f"{'all':20}{'':10}{len(every):10d}{'':16}{_rms(every)}")
    return lines


def _rms(missed: list[Missed]) -> str:
    usual, learnt = (
        float(np.sqrt(np.mean([getattr(one, name) ** 2 for one in missed])))
        for name in ("default_ratio", "learnt_ratio")
    )
    return f"{100.0 * usual:10.1f} %{100.0 * learnt:8.1f} %"


def _given(pair: Pair, factor: float = 1.0) -> tuple[Sortie, Pack]:
    bare = sortie_of(pair)
    pack = accepted(bare, pair.truth.sounding, "open data")
    balloon = replace(
        bare.balloon,
        drag_factor=Known(value=factor),
        neck_lift_kg=Known(value=bare.balloon.neck_lift_kg.value),
    )
    doubt = replace(bare.doubt, ascent_ratio=None)
    return replace(bare, balloon=balloon, doubt=doubt, fields=bare.fields[:1]), pack


def _been(flown: Flown, top_m: float) -> Been:
    """Return a fix each half minute up to a height."""
    t_s = np.arange(0.0, float(flown.t_s[-1]), _EVERY_S)
    at = np.unique(np.interp(t_s, flown.t_s, np.arange(len(flown.t_s))).round().astype(np.int64))
    at = at[(flown.amsl_m[at] <= top_m) & (flown.amsl_m[at] >= _LOW_M)]
    at = at[np.concatenate([[True], np.diff(flown.t_s[at]) > 0.0])] if len(at) else at
    return Been(*(one[at] for one in flown))


def _mean_mps(t_s: FloatArray, amsl_m: FloatArray, top_m: float) -> float:
    rising = np.maximum.accumulate(amsl_m)
    low_s, top_s = np.interp([max(_LOW_M, rising[0]), top_m], rising, t_s)
    return float((top_m - max(_LOW_M, float(rising[0]))) / (top_s - low_s))


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description="Teach drag by half of the open flights.")
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    pairs = {id(one.truth): one for one in real_pairs()}
    found = [one for pair in pairs.values() if (one := taught_by(pair)) is not None]
    text = "\n".join(rows_of(found)) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
