"""Followed: real falls and climbs followed by the filter, and where it has them when unheard.

Run: python -m bench.replays.followed --out docs/followed.txt
"""

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from bench.odds.gear import WORKERS, sortie_of
from bench.odds.pairs import Pair
from bench.replays.carried import carried, carried_rows
from bench.replays.sondes import Sonde, pairs
from farglide.chances.after.storylaws import laws_of
from farglide.chances.ensemble import drawn_ensemble
from farglide.gather.accept import accepted
from farglide.sim.core.draws import normals
from farglide.sim.fly.particles import HANDS_OFF, TANGLED
from farglide.sortie.grain import Grain
from farglide.track.filter.begun import Last, begun
from farglide.track.filter.observed import Nothing, Observed, Placed
from farglide.track.filter.particles import Laws, Particles, Story
from farglide.track.filter.step import step
from farglide.track.filter.told import rank_of, where

BLIND_S: Final = (60.0, 180.0, 300.0, 600.0)
_GRAIN: Final = Grain(n_draws=300, prices_mps=(8.0,), slab=5)
_EVERY_S: Final = 2.0
_SEEN_S: Final = 60.0
_ASK_S: Final = 60.0
_SINK_EAS_MPS: Final = 11.0
_SINK_RATIO: Final = 0.4
"""What is believed of falls whose masses nobody knows: a factor of 1.5 either way."""
_SD_M: Final = 5.0
_LOWEST_M: Final = 300.0
"""Nearer to the sea it is nobody's question how high it is."""


class Blind(NamedTuple):
    """One fall that was not heard for a time: where it came out beside where it was said to be."""

    sonde: str
    blind_s: float
    rank: float
    most_m: float
    miss_m: float
    high_m: float  # height missed
    high_most_m: float
    sink_mps: float


def laws_for(pair: Pair) -> Laws:
    """Return the laws of a fall in the winds of another sounding, its sink hardly known."""
    sortie = sortie_of(pair)
    ground_m = 0.0
    field = replace(sortie.fields[0], amsl_m=ground_m)
    sortie = replace(sortie, fields=(field,), launch=replace(sortie.launch, amsl_m=ground_m))
    sounding = accepted(sortie, pair.forecast.sounding, "open data").sounding
    ensemble = drawn_ensemble(sortie, sounding, _GRAIN, WORKERS)
    laws = laws_of(ensemble)
    n = laws.n_draws
    sink = _SINK_EAS_MPS * np.exp(_SINK_RATIO * normals(n, 1, 7)[:, 0])
    movers = laws.movers
    sinks, thin = movers.sink_eas_mps.copy(), movers.thin_exponent.copy()
    kind = TANGLED - HANDS_OFF
    sinks[kind], thin[kind] = sink, 0.0
    return laws._replace(movers=movers._replace(sink_eas_mps=sinks, thin_exponent=thin))


def followed(sonde: Sonde, laws: Laws) -> list[Blind]:
    """Return where the filter has a fall that is not heard for some times, each minute anew."""
    frame, found = laws.movers.scene.frame, list[Blind]()
    north = np.radians(sonde.lat_deg) - frame.lat_rad
    east = np.radians(sonde.lon_deg) - frame.lon_rad
    first = Last(*(float(one[0]) for one in (sonde.t_s, sonde.amsl_m, north, east)))
    particles = begun(laws, first, {Story.TANGLED: 1.0})
    settled = particles.cloud._replace(speed_mps=np.full(len(particles.weight), 1e9))
    particles = particles._replace(cloud=settled)
    next_s = _SEEN_S
    for k in range(1, len(sonde.t_s)):
        if sonde.t_s[k] < particles.after_launch_s + _EVERY_S:
            continue
        fix = Placed(
            lat_deg=float(sonde.lat_deg[k]), lon_deg=float(sonde.lon_deg[k]), sd_m=_SD_M,
            amsl_m=float(sonde.amsl_m[k]), amsl_sd_m=_SD_M,
        )  # fmt: skip
        particles = step(laws, particles, Observed(k, float(sonde.t_s[k]), fix)).particles
        if sonde.t_s[k] >= next_s:
            found += _blinded(sonde, laws, particles)
            next_s += _ASK_S
    return found


def _blinded(sonde: Sonde, laws: Laws, particles: Particles) -> list[Blind]:
    found, frame, now_s = list[Blind](), laws.movers.scene.frame, particles.after_launch_s
    for seconds in BLIND_S:
        if now_s + seconds > sonde.t_s[-1]:
            continue
        if np.interp(now_s + seconds, sonde.t_s, sonde.amsl_m) < _LOWEST_M:
            continue
        then = step(laws, particles, Observed(0, now_s + seconds, Nothing())).particles
        amsl_m, lat, lon = (
            float(np.interp(now_s + seconds, sonde.t_s, one))
            for one in (sonde.amsl_m, sonde.lat_deg, sonde.lon_deg)
        )
        north, east = np.radians(lat) - frame.lat_rad, np.radians(lon) - frame.lon_rad
        said = where(laws, then)
        miss = 6.371e6 * np.hypot(north - said.north_rad, (east - said.east_rad) * frame.cosine)
        sink = (np.interp(now_s, sonde.t_s, sonde.amsl_m) - amsl_m) / seconds
        found.append(Blind(
            sonde.name, seconds, rank_of(laws, then, north, east), said.most_within_m,
            float(miss), amsl_m - said.amsl_m, said.amsl_most_m, float(sink),
        ))  # fmt: skip
    return found


def followed_rows(found: list[Blind]) -> list[str]:
    """Return the table: by how long nothing was heard, how near, how wide, how often inside."""
    names = {one.sonde for one in found}
    rows = [
        f"{len(names)} real falls under small parachutes, from 7 to 14 km down to the sea: planned",
        "on the sounding of another one, each 2 s a fix, then nothing heard; asked each minute.",
        "Medians of the distance missed and of the circle told; how often it came inside.",
        f"{'not heard':12}{'asked':>7}{'miss':>9}{'9 in 10 within':>16}{'inside 50 %':>13}"
        f"{'inside 90 %':>13}{'height, 90 %':>14}",
    ]
    for seconds in BLIND_S:
        some = [one for one in found if one.blind_s == seconds]
        if not some:
            continue
        rank = np.array([one.rank for one in some])
        miss, most = (np.median([getattr(one, k) for one in some]) for k in ("miss_m", "most_m"))
        high = np.mean([abs(one.high_m) <= one.high_most_m for one in some])
        rows.append(
            f"{seconds / 60.0:3.0f} min     {len(some):7d}{miss:7.0f} m{most:14.0f} m"
            f"{(rank <= 0.5).mean():13.2f}{(rank <= 0.9).mean():13.2f}{high:14.2f}"
        )
    return rows


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description="Follow real falls.")
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    found = [row for sonde, pair in pairs() for row in followed(sonde, laws_for(pair))]
    text = "\n".join([*followed_rows(found), "", *carried_rows(carried())]) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
