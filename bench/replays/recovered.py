"""Recovered: what reviews of rehearsal logs find of the truth that each was flown by.

Run: python -m bench.replays.recovered --flights 24 --out docs/recovered.txt
"""

import argparse
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.cli.plan import DEMO
from farglide.cli.reviewed import given_of_log
from farglide.compute import on_threads
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather_winds
from farglide.live.asking import as_planned
from farglide.live.rehearse.crew import ByRule
from farglide.live.rehearse.logged import begin_log, write_log
from farglide.live.rehearse.rehearsal import Named, rehearsed
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import Truth, truth_of
from farglide.outlook.advice import Advice
from farglide.outlook.review import Review
from farglide.packfile.winds import winds_text
from farglide.plan.planned import settled
from farglide.review.review import review_of
from farglide.rig.doubts import doubts_of
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.track.journal.head import Head

_GRAIN: Final = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0, 30.0), slab=5)
_JET_MPS: Final = 9.0
_LET_GO_M: Final = 26_000.0
_BARS: Final = {"drag": "5 %", "glide ratio": "7 %", "burst diameter": "", "jet": "1 m/s"}


class Blind(Sitting):
    """A flight of which nothing is advised: its crew goes by the height alone."""

    def _advice(self, t_s: float) -> Advice | None:
        return None


class Found(NamedTuple):
    """One number of one flight: what was true, what was found, and its own error."""

    what: str
    true: float
    found: float
    sd: float


def found_in(planned: Ensemble, head: Head, seed: int, folder: Path) -> Iterator[Found]:
    """Yield what the review of one rehearsal's log finds beside the truth.

    Every third flight has a jet that is 9 m/s faster than any draw would have it.
    """
    changes = Changes(jet_mps=_JET_MPS if seed % 3 == 0 else 0.0)
    truth = truth_of(planned, changes, seed)
    sitting = Blind(planned, truth, seed)
    crew = ByRule("26km", _LET_GO_M, np.inf)
    log = folder / f"{seed}.log"
    journal = begin_log(log, head, planned.sortie.launch.t_s)
    write_log(journal, sitting, rehearsed(sitting, crew, Named((), seed)), seed)
    yield from _beside(planned, truth, review_of([given_of_log(log, _GRAIN)]))


def _beside(planned: Ensemble, truth: Truth, review: Review) -> Iterator[Found]:
    swarm, learned = truth.drawn.swarm, {one.key: one for one in review.learned}
    stay = np.array(doubts_of(planned.sortie, planned.air.column, planned.grain).climb.stay_ratio)
    true = {
        "drag": ("balloon.drag_factor", float(np.exp(-2.0 * stay @ np.log(swarm.climb_factor[0])))),
        "glide ratio": ("glider.glide_factor", float(truth.drawn.glide_factor[0])),
        "burst diameter": ("balloon.burst_diameter_m", float(swarm.burst_diameter_m[0])),
    }
    for what, (key, value) in true.items():
        one = learned[key]
        if one.was is not None and one.was_sd is not None and not one.was_at_least:
            yield Found(what, value, one.was, one.was_sd)
    jet = next(row for row in review.flights[0].winds if row.where == "the jet")
    yield Found("jet", _jet_mps(planned, truth, jet.from_amsl_m, jet.to_amsl_m), jet.faster_mps,
                jet.sd_mps)  # fmt: skip


def _jet_mps(planned: Ensemble, truth: Truth, low_m: float, high_m: float) -> float:
    """Return how much faster the jet really was, along the wind told."""
    told, real, swarm = planned.air.column.layers, truth.air.column.layers, truth.drawn.swarm
    z = planned.air.column.middles_amsl_m
    some = np.flatnonzero((z >= low_m) & (z <= high_m))
    u, v = told.u_mps[0, some], told.v_mps[0, some]
    east = real.u_mps[0, some] - u + swarm.out_east_mps[0, some]
    north = real.v_mps[0, some] - v + swarm.out_north_mps[0, some]
    along = np.array([u.mean(), v.mean()]) / np.hypot(u.mean(), v.mean())
    return float(east.mean() * along[0] + north.mean() * along[1])


def rows_of(found: list[Found], n_flights: int) -> list[str]:
    """Return the table: how far each number is off, and off in its own errors."""
    lines = [
        f"{n_flights} rehearsals of the demo, each with its own truth, reviewed by their logs: how",
        "far what one flight showed was off. Every third jet was 9 m/s faster than drawn.",
        f"{'':16}{'flights':>8}{'off, rms':>12}{'at most':>12}{'asked':>8}{'in errors, rms':>20}",
    ]
    for what, bar in _BARS.items():
        some = [one for one in found if one.what == what]
        if not some:
            continue
        true, seen, sd = (np.array([one[k] for one in some]) for k in (1, 2, 3))
        off, unit = (seen - true, "m/s") if what == "jet" else (100.0 * (seen / true - 1.0), "%")
        rms, most = float(np.sqrt(np.mean(off**2))), float(np.abs(off).max())
        scores = float(np.sqrt(np.mean(((seen - true) / sd) ** 2)))
        lines.append(
            f"{what:16}{len(some):8d}{f'{rms:.1f} {unit}':>12}{f'{most:.1f} {unit}':>12}{bar:>8}"
            f"{scores:20.1f}"
        )
    return lines


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser(description="Review rehearsals of known truth.")
    parser.add_argument("--flights", type=int, default=24)
    parser.add_argument("--out", type=Path)
    wanted = parser.parse_args()
    flight = read_flight_file(DEMO)
    sounding = gather_winds(flight.sortie, DEMO.with_name("amber-evening-winds.csv"))
    pack = Pack(flight_text="", sounding=sounding)
    sortie = replace(settled(flight, pack).sortie, terrain=None, links=())
    planned = as_planned(sortie, pack, _GRAIN, on_threads())
    head = Head(flight=DEMO.read_text(encoding="utf-8"), manifest="", winds=winds_text(sounding),
                program="bench")  # fmt: skip
    found = list[Found]()
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(1, wanted.flights + 1):
            found += found_in(planned, head, seed, Path(folder))
            if sys.stderr.isatty():
                sys.stderr.write(f"\r{seed} of {wanted.flights}")
    text = "\n".join(rows_of(found, wanted.flights)) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
