"""Reglided: what made-up glides of known truth tell of their glide ratio and of the wind.

Run: python -m bench.replays.reglided --glides 200 --out docs/reglided.txt
"""

import argparse
import sys
from collections.abc import Callable
from dataclasses import replace
from itertools import product
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.bestknown import best_known
from farglide.chances.after.regliding import Seen, glide_seen
from farglide.chances.ensemble import Ensemble
from farglide.chances.informed import Informed, informed
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather_winds
from farglide.glider.polar import _slowest_eas, steady_glide
from farglide.live.asking import as_planned
from farglide.plan.planned import settled
from farglide.sim.core.step import _metres_per_rad
from farglide.sim.reach.bearings import N_BEARING
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.drift import Been
from farglide.track.filter.glided import DEPTH_M, RISES_MPS, hangs_ratio
from farglide.track.glideair import glide_air_at

_GRAIN: Final = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0, 30.0), slab=5)
_LEAVES_S: Final = 76.0 * 60.0
_STEP_S: Final = 5.0
_SD_M: Final = 5.0
_TURNS_SD_RAD: Final = np.radians(6.0)
_BAR_MPS, _BAR_RATIO = 1.5, 0.07


class Known(NamedTuple):
    """A flight as its climb has made it known, and the one without errors."""

    known: Informed
    plain: Ensemble


class Truth(NamedTuple):
    """What a made-up glide is flown by: its factor, the wind's error by layer, and how steadily.

    `speed_sd`, `wander_sd`: how far all of it, and each minute, is flown off the speed told;
    `up_mps`: how fast the air rises all along.
    """

    log_factor: float
    wind_mps: FloatArray  # (n_layers, 2)
    speed_sd: float
    wander_sd: float
    up_mps: float = 0.0


class Way(NamedTuple):
    """Where a glide begins, how long it is, and its headings, one after another."""

    top_m: float
    minutes: int
    heading_rad: tuple[float, ...]


def climbed(planned: Ensemble) -> Known:
    """Return a flight as its own error-free climb up to T+76 min makes it known."""
    tracks = planned.climbs.tracks
    t_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    some = (t_s > 0.0) & (t_s <= _LEAVES_S)
    been = Been(t_s[some], *(np.ascontiguousarray(one[0, some]) for one in tracks.places))
    known = informed(planned, been, 10.0, _LEAVES_S + 7200.0)
    return Known(known, best_known(known))


def glide_of(flight: Known, truth: Truth, way: Way, chance: np.random.Generator) -> Been:
    """Return the fixes of a glide, one each 5 s, by its truth."""
    scene, polar = flight.known.ensemble.air.scene, flight.known.ensemble.craft.polar
    layers, speeds = scene.layers, flight.plain.reach.reaches.speeds
    mean = flight.known.air.home.mean_mps
    slower, turned, faster, rise = chance.normal() * truth.speed_sd, 0.0, 0.0, 0.0
    at, rows, per_min = np.array([0.1, 0.0]), [], round(60.0 / _STEP_S)
    z, n = way.top_m, way.minutes * per_min
    for s in range(n + 1):
        if s % per_min == 0:
            faster = slower + chance.normal() * truth.wander_sd
            rise, turned = chance.normal() * RISES_MPS, chance.normal() * _TURNS_SD_RAD
        rows.append((_LEAVES_S + 120.0 + s * _STEP_S, z + 1.5 * _SD_M * chance.normal(), *at))
        k = int((z - layers.base_amsl_m) / layers.step_m)
        psi = way.heading_rad[min(s * len(way.heading_rad) // n, len(way.heading_rad) - 1)] + turned
        nose = np.array([np.sin(psi), np.cos(psi)])
        wind = np.array([layers.u_mps[0, k], layers.v_mps[0, k]]) + mean[k] + truth.wind_mps[k]
        eas = _advised(speeds.eas_mps[0, k], nose, wind, float(layers.tas_per_eas[k]))
        eas = float(
            np.clip(eas * np.exp(faster), float(_slowest_eas(polar)), speeds.fastest_mps[k])
        )
        flown = steady_glide(polar, eas, glide_air_at(scene, z), float(np.exp(truth.log_factor)))
        moved = _STEP_S * layers.shortening_ratio[k] * (flown.level_mps * nose + wind)
        meridian, parallel = _metres_per_rad(scene.frame, float(at[0]))
        at = at + np.array([moved[1] / meridian, moved[0] / parallel])
        z -= _STEP_S * (flown.sink_mps - rise - truth.up_mps)
    table = np.array(rows)
    table[:, 2:] += _SD_M / 6.37e6 * chance.standard_normal((len(rows), 2))
    return Been(*np.ascontiguousarray(table.T))


def _advised(eas_mps: FloatArray, nose: FloatArray, wind: FloatArray, tas_per_eas: float) -> float:
    """Return the EAS that is advised on the track that a heading gives."""
    track = 12.0 * tas_per_eas * nose + wind
    angle = np.arctan2(track[1], track[0]) * N_BEARING / (2.0 * np.pi) % N_BEARING
    return float(np.interp(angle, np.arange(N_BEARING + 1.0), np.append(eas_mps, eas_mps[0])))


class Found(NamedTuple):
    """One glide: the wind missed at its end and in the mean, the factor missed, and if inside."""

    wind_mps: float
    mean_mps: float
    factor_ratio: float
    factor_is_in: bool
    wind_is_in: bool


def found_in(seen: Seen, flight: Known, truth: Truth) -> Found:
    """Return how far what a glide told is off the truth; inside the 90 % that were stated."""
    glide = seen.glide
    heights_m = flight.known.ensemble.air.column.middles_amsl_m
    true = np.stack([np.interp(seen.amsl_m, heights_m, one) for one in truth.wind_mps.T], axis=1)
    off = glide.wind_mps - true
    last, factor = float(np.hypot(*off[-1])), glide.log_factor - truth.log_factor
    return Found(
        last, float(np.hypot(*off.mean(axis=0))), float(np.expm1(factor)),
        bool(abs(factor) < 1.645 * glide.log_factor_sd), bool(last < 2.146 * glide.wind_sd_mps[-1]),
    )  # fmt: skip


def drawn_truth(flight: Known, chance: np.random.Generator, steady: tuple[float, float]) -> Truth:
    """Return a truth out of what is believed."""
    heights_m, home = flight.known.ensemble.air.column.middles_amsl_m, flight.known.air.home
    log = np.log(flight.known.ensemble.draws.glide_factor)
    near = np.linalg.cholesky(hangs_ratio(heights_m, heights_m) + 1e-9 * np.eye(len(heights_m)))
    wind = home.sd_mps[:, None] * (near @ chance.standard_normal((len(heights_m), 2)))
    return Truth(float(log.mean() + log.std() * chance.normal()), wind, *steady)


def injected_truth(
    flight: Known, chance: np.random.Generator, steady: tuple[float, float]
) -> Truth:
    """Return a truth of a glide ratio 15 % less and a wind that is 5 m/s off at all heights."""
    to = chance.uniform(0.0, 2.0 * np.pi)
    n = len(flight.known.air.home.sd_mps)
    wind = np.tile(5.0 * np.array([np.cos(to), np.sin(to)]), (n, 1))
    log = np.log(flight.known.ensemble.draws.glide_factor)
    return Truth(float(log.mean() + np.log(0.85)), wind, *steady)


def planned_demo() -> Ensemble:
    """Return the demo without links, coarsely."""
    flight = read_flight_file(DEMO)
    sounding = gather_winds(flight.sortie, DEMO.with_name("amber-evening-winds.csv"))
    pack = Pack(flight_text="", sounding=sounding)
    sortie = replace(settled(flight, pack).sortie, terrain=None, links=())
    return as_planned(sortie, pack, _GRAIN, on_threads())


def rows_of(flight: Known, n: int) -> list[str]:
    """Return the table: by how steadily it is flown, what is recovered and how honest that is."""
    rows = [
        f"{n} made-up glides a row, 10 min from 20 km, a fix each 5 s, by a climb heard before;",
        f"two headings 90 degrees apart, or four. Winds hang together over {DEPTH_M / 1e3:.0f} km.",
        "Flown as told but for all of it, and each minute, by so much. Truths drawn out of what is",
        "believed, or injected: a glide ratio 15 % less and a wind 5 m/s off at all heights.",
        "Medians of the wind missed at the end and in the mean of all stretches, root mean square",
        "of the glide ratio; how often within 1.5 m/s and 7 %, and inside nine in ten as told.",
        f"{'flown':11}{'headings':>9}{'truth':>10}{'wind, end':>11}{'mean':>6}{'under 1.5':>11}"
        f"{'inside 90 %':>13}{'glide':>7}{'under 7 %':>11}{'inside 90 %':>13}",
    ]
    hand, steadier = (0.05, 0.05), (0.02, 0.02)
    for steady, n_headings in product((hand, steadier), (2, 4)):
        for what, drawn in (("drawn", drawn_truth), ("injected", injected_truth)):
            told = f"{steady[0]:4.0%}, {steady[1]:4.0%} {n_headings:9d}{what:>10}"
            rows.append(told + _row(_flown(flight, drawn, steady, (n_headings, n))))
    rows.append("In air that rises all along by so much, two headings, truths drawn:")
    for up_mps in (-0.5, 0.5, 1.0):
        found = _flown(flight, _risen(up_mps), hand, (2, n))
        rows.append(f"{up_mps:+4.1f} m/s {2:11d}{'drawn':>10}" + _row(found))
    return rows


_Drawn = Callable[[Known, np.random.Generator, tuple[float, float]], Truth]


def _risen(up_mps: float) -> _Drawn:
    """Return what draws truths of a glide in air that rises all along."""
    return lambda *asked: drawn_truth(*asked)._replace(up_mps=up_mps)


def _flown(
    flight: Known, drawn: _Drawn, steady: tuple[float, float], ways: tuple[int, int]
) -> list[Found]:
    """Return what glides tell; `ways`: on how many headings each, and how many of them."""
    chance, found, (n_headings, n) = np.random.default_rng(7), list[Found](), ways
    while len(found) < n:
        truth = drawn(flight, chance, steady)
        first = float(chance.uniform(0.0, 2.0 * np.pi))
        turned = tuple(first + 0.5 * np.pi * k for k in range(n_headings))
        way = Way(20_000.0, 10, turned)
        seen = glide_seen(*flight, glide_of(flight, truth, way, chance), _SD_M)
        if seen is not None:
            found.append(found_in(seen, flight, truth))
    return found


def _row(found: list[Found]) -> str:
    """Return the numbers of some glides."""
    end, mean, factor, factor_in, wind_in = (np.array(one) for one in zip(*found, strict=True))
    return (
        f"{np.median(end):7.1f} m/s{np.median(mean):6.1f}{(mean < _BAR_MPS).mean():11.2f}"
        f"{wind_in.mean():13.2f}{np.sqrt(np.mean(factor**2)):7.1%}"
        f"{(np.abs(factor) < _BAR_RATIO).mean():11.2f}{factor_in.mean():13.2f}"
    )


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description="Learn from made-up glides.")
    parser.add_argument("--glides", type=int, default=200)
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    text = "\n".join(rows_of(climbed(planned_demo()), wanted.glides)) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
