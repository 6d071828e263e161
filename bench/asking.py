"""Asking: how long a question takes once the flight is drawn, and how long all of them do."""

import time
from typing import Final

from bench.timing import Row
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO, grain_asked
from farglide.cli.questions import QUESTIONS
from farglide.compute import on_threads
from farglide.live.asked.situation import Told
from farglide.live.asking import as_planned, situation_at
from farglide.live.stated import Line, ride_of, with_typed
from farglide.plan.planned import settled
from farglide.present.say.text import FlightClock

_AT_S: Final = 4200.0
_BAR_S: Final = 2.0
_TYPED: Final = "46.797 S 108.506 E 25000"


def asking_rows() -> list[Row]:
    """Each question of the demo 70 minutes up, from typed digits, its draws already flown."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    sortie = settled(flight, pack).sortie
    line = Line(t_s=sortie.launch.t_s + _AT_S, text=_TYPED)
    fixes = with_typed(ride_of((), sortie.launch), [line], sortie).fixes()
    clock = FlightClock(launch_t_s=sortie.launch.t_s, zone=sortie.launch.zone)
    planned = {
        n: as_planned(sortie, pack, grain_asked(n, 1), on_threads())
        for n in {min(1000, one.most_draws) for one in QUESTIONS.values()}
    }
    took = dict[str, float]()
    for name, one in QUESTIONS.items():
        draws = planned[min(1000, one.most_draws)]
        began_s = time.perf_counter()
        asked = situation_at(draws, fixes, line.t_s, pack.terrain, Told(grade=2))
        one.answered(asked, clock)
        took[name] = time.perf_counter() - began_s
    slowest = max(took, key=lambda name: took[name])
    middle = sorted(took.values())[len(took) // 2]
    return [
        (f"question answered, median of {len(took)}", f"{middle:.2f} s", f"bar {_BAR_S:.0f} s"),
        (f"  slowest: {slowest}", f"{took[slowest]:.2f} s", "the flight drawn, kernels warm"),
    ]
