"""Replayed: real flights fix by fix against the forecast of another sounding.

Run: python -m bench.replays.replayed --out docs/replayed.txt
"""

import argparse
import sys
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from bench.odds.climbs import Lifter
from bench.odds.data import Flown as Sonde
from bench.odds.gear import EARTH_M, WORKERS, sortie_of
from bench.odds.light import is_dark
from bench.odds.pairs import Pair, aged_pairs
from bench.replays.ownkind import own_table
from bench.replays.replayedtable import ASKED_M, Told, replayed_rows
from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, drawn_ensemble, plain_climbs
from farglide.chances.informed import informed
from farglide.earth.heights import geometric_at_m
from farglide.gather.accept import accepted
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been

_LONGEST_H: Final = 24.0
_GRAIN: Final = Grain(n_draws=300, prices_mps=(8.0,), slab=5)
_TOP_M: Final = 27_000.0
_LOWEST_TOP_M: Final = 15_000.0
_LEAST_LEFT_M: Final = 1_000.0
_EVERY_S: Final = 30.0
_PLACE_SD_M: Final = 10.0
_ASCENT_RATIO: Final = 0.1  # nobody knows these balloons: their mean climb is told, and doubted
_NECK_SD_KG: Final = 0.05
_NEVER_M: Final = 99.0


class Flown(NamedTuple):
    """A real flight: seconds after its launch, heights and offsets, (n_samples,)."""

    t_s: FloatArray
    amsl_m: FloatArray
    north_rad: FloatArray
    east_rad: FloatArray


def real_pairs() -> list[Pair]:
    """Return the pairs whose later sounding tells its own time and place at each level."""
    pairs = aged_pairs(_LONGEST_H)
    told = [(one.truth.sounding.elapsed_s, one.truth.sounding.lat_offset_deg) for one in pairs]
    return [pair for pair, (t, lat) in zip(pairs, told, strict=True)
            if t is not None and lat is not None]  # fmt: skip


def flown_of(sounding: Sounding) -> Flown:
    """Return the flight of a sounding that tells its own time and place."""
    assert sounding.elapsed_s is not None
    assert sounding.lat_offset_deg is not None
    assert sounding.lon_offset_deg is not None
    z = np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])
    offsets = np.radians(sounding.lat_offset_deg), np.radians(sounding.lon_offset_deg)
    return Flown(np.asarray(sounding.elapsed_s, np.float64), z, *offsets)


def fixes_to(flown: Flown, from_m: float, least_m: float) -> Been:
    """Return a fix each half minute until a height is reached."""
    t_s = np.arange(0.0, float(flown.t_s[-1]), _EVERY_S)
    at = np.unique(np.interp(t_s, flown.t_s, np.arange(len(flown.t_s))).round().astype(np.int64))
    at = at[(flown.amsl_m[at] <= from_m) & (flown.amsl_m[at] >= least_m)]
    at = at[np.concatenate([[True], np.diff(flown.t_s[at]) > 0.0])] if len(at) else at
    return Been(*(one[at] for one in flown))


@cache
def _usual_mps(campaign: str) -> float:
    """Return the median of the mean climbs of a campaign: what its crew would tell."""
    soundings = {id(p.truth): p.truth for p in real_pairs() if p.truth.campaign == campaign}
    flights = [flown_of(one.sounding) for one in soundings.values()]
    return float(np.median([np.ptp(f.amsl_m[[0, -1]]) / np.ptp(f.t_s[[0, -1]]) for f in flights]))


def planned(pair: Pair, own_kind: bool = False) -> Ensemble:
    """Return the draws of a balloon that climbs as usual there, in the winds of the forecast.

    `own_kind`: the crew states the drag table that its other flights have shown.
    """
    bare = sortie_of(pair)
    bare = replace(
        bare, doubt=replace(bare.doubt, ascent_ratio=_ASCENT_RATIO), fields=bare.fields[:1]
    )
    usual_mps = _usual_mps(pair.truth.campaign)
    if own_kind:
        bare = _of_own_kind(bare, pair.truth, usual_mps)
    sounding = accepted(bare, pair.forecast.sounding, "open data").sounding
    sortie = _filled(bare, sounding, usual_mps)
    drawn = drawn_ensemble(sortie, sounding, _GRAIN, WORKERS)
    swarm = drawn.draws.swarm
    whole = swarm._replace(burst_diameter_m=np.full(len(swarm.gas_kg), _NEVER_M))
    return replace(drawn, draws=drawn.draws._replace(swarm=whole))


def _of_own_kind(sortie: Sortie, truth: Sonde, mean_mps: float) -> Sortie:
    mass_kg, hanging_kg = sortie.balloon.mass_kg, sortie.hanging_kg
    lifter = Lifter(balloon_kg=mass_kg, hanging_kg=hanging_kg, mean_mps=mean_mps)
    table = own_table(truth.campaign, int(truth.sounding.t_s), lifter)
    return replace(sortie, balloon=replace(sortie.balloon, drag_table=table))


def _filled(sortie: Sortie, sounding: Sounding, mean_mps: float) -> Sortie:
    """Return the sortie with the neck lift that climbs to 25 km at a mean speed."""
    low_kg, high_kg = 0.2, 4.0
    for _ in range(14):
        neck = Known(value=0.5 * (low_kg + high_kg), sd=_NECK_SD_KG)
        filled = replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=neck))
        tracks = plain_climbs(filled, sounding, _GRAIN).tracks
        known = np.flatnonzero(np.isfinite(tracks.amsl_m[0]))
        at = min(int(np.searchsorted(tracks.amsl_m[0, known], 25_000.0)), len(known) - 1)
        slow = tracks.amsl_m[0, at] < mean_mps * at * tracks.step_s
        low_kg, high_kg = (neck.value, high_kg) if slow else (low_kg, neck.value)
    return filled


def told_of(pair: Pair, own_kind: bool = False) -> list[Told]:
    """Return what was told of a real flight's place near its top, before it and on its way."""
    flown = flown_of(pair.truth.sounding)
    top_m = min(float(flown.amsl_m[-1]) - 100.0, _TOP_M, pair.forecast.sounding.top_gph_m)
    if top_m < _LOWEST_TOP_M:
        return []
    before = planned(pair, own_kind)
    found, group, dark = [], int(pair.truth.sounding.t_s), is_dark(pair.truth.sounding)
    for from_m in ASKED_M:
        if from_m > top_m - _LEAST_LEFT_M:
            continue
        now = before
        if from_m > 0.0:
            been = fixes_to(flown, from_m, before.air.scene.layers.base_amsl_m)
            now = informed(before, been, _PLACE_SD_M, float(flown.t_s[-1]) + 3000.0).ensemble
        found.append(_told(flown, now, from_m, top_m)._replace(group=group, dark=dark))
    return found


def _told(flown: Flown, now: Ensemble, from_m: float, top_m: float) -> Told:
    said, came = _passages(now, top_m), _came(flown, now, top_m)
    middle = np.nanmedian(said, axis=0)
    away, miss = np.hypot(*(said - middle)[:, :2].T), float(np.hypot(*(came - middle)[:2]))
    return Told(
        from_m=from_m,
        rank=float(np.nanmean(away <= miss)),
        most_m=float(np.nanquantile(away, 0.9)),
        miss_m=miss,
        late_s=float(came[2] - middle[2]),
        spread_s=float(np.nanstd(said[:, 2])),
        group=0,
        dark=False,
    )


def _passages(ensemble: Ensemble, height_m: float) -> FloatArray:
    """Return metres north and east of the launch and seconds after it, (n_draws, 3)."""
    tracks, cosine = ensemble.climbs.tracks, ensemble.air.scene.frame.cosine
    clock = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    found = np.full((len(tracks.amsl_m), 3), np.nan)
    for i, (z, north, east) in enumerate(zip(*tracks.places, strict=True)):
        known = np.isfinite(z)
        rising = np.maximum.accumulate(z[known])
        rows = EARTH_M * north[known], EARTH_M * cosine * east[known], clock[known]
        found[i] = [np.interp(height_m, rising, row, left=np.nan, right=np.nan) for row in rows]
    return found


def _came(flown: Flown, ensemble: Ensemble, height_m: float) -> FloatArray:
    at = int(np.searchsorted(flown.amsl_m, height_m))
    cosine = ensemble.air.scene.frame.cosine
    return np.array([EARTH_M * flown.north_rad[at], EARTH_M * cosine * flown.east_rad[at],
                     flown.t_s[at]])  # fmt: skip


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description="Replay real flights.")
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    usual, own, pairs = list[Told](), list[Told](), real_pairs()
    for number, pair in enumerate(pairs):
        usual += told_of(pair)
        own += told_of(pair, own_kind=True)
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{number + 1} of {len(pairs)}")
    text = "\n".join(replayed_rows(usual, own, len(pairs))) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
