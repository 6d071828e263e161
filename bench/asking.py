"""Asking: how long a question takes once the flight is drawn, and how long all of them do."""

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from bench.timing import Row
from farglide.chances.ensemble import Ensemble
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO, grain_asked
from farglide.cli.questions import QUESTIONS
from farglide.compute import on_threads
from farglide.earth.state import place_deg
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.live.asking import as_planned, situation_at
from farglide.live.loosened.asking import Asking, loose_flight
from farglide.live.loosened.flight import LooseFlight
from farglide.live.rehearse.flown import let_go
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import truth_of
from farglide.live.ride.phase import launch_of
from farglide.live.ride.slow import Maker
from farglide.live.ride.state import Ride
from farglide.live.stated import Line, ride_of, with_car_feed, with_falls, with_typed
from farglide.plan.planned import settled
from farglide.present.say.text import FlightClock
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

_AT_S: Final = 4200.0
_LOOSE_S: Final = 360.0
_STEP_S: Final = 10.0
_BAR_S: Final = 2.0
_TYPED: Final = "46.797 S 108.506 E 25000"
_DRAWS: Final = 1000

Asked = Callable[[int], Situation | LooseFlight]
"""Returns a flight, of so many draws, ready to be asked."""


def asking_rows() -> list[Row]:
    """Each question of the demo, its draws already flown: 70 minutes up, and 6 after its release.

    Up from typed digits, down by a fix each 10 s.
    """
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    sortie = settled(flight, pack).sortie
    line = Line(t_s=sortie.launch.t_s + _AT_S, text=_TYPED)
    fixes = with_typed(ride_of((), sortie.launch), [line], sortie).fixes()
    planned = _planned(sortie, pack)
    ride = _glide(planned[_DRAWS])
    flown = _planned(_as_launched(sortie, ride), pack)

    def carried(n: int) -> Situation:
        return situation_at(planned[n], fixes, line.t_s, pack.terrain, Told(grade=2))

    def loose(n: int) -> LooseFlight:
        asking = Asking(
            sortie=flown[n].sortie,
            specs=with_car_feed(sortie.feeds),
            make=Maker.of(flown[n], pack.terrain),
            terrain=pack.terrain,
        )
        found = loose_flight(asking, ride, _last_t_s(ride), Told(grade=2))
        assert found is not None
        return found

    clock = FlightClock(launch_t_s=sortie.launch.t_s, zone=sortie.launch.zone)
    return [*_rows("question answered", carried, clock),
            *_rows("  after the release", loose, clock)]  # fmt: skip


def _rows(name: str, asked: Asked, clock: FlightClock) -> list[Row]:
    took = dict[str, float]()
    for question, one in QUESTIONS.items():
        began_s = time.perf_counter()
        one.answered(asked(min(_DRAWS, one.most_draws)), clock)
        took[question] = time.perf_counter() - began_s
    slowest = max(took, key=lambda question: took[question])
    middle = sorted(took.values())[len(took) // 2]
    return [
        (f"{name}, median of {len(took)}", f"{middle:.2f} s", f"bar {_BAR_S:.0f} s"),
        (f"  slowest: {slowest}", f"{took[slowest]:.2f} s", "the flight drawn, kernels warm"),
    ]


def _planned(sortie: Sortie, pack: Pack) -> dict[int, Ensemble]:
    return {
        n: as_planned(sortie, pack, grain_asked(n, 1), on_threads())
        for n in {min(_DRAWS, one.most_draws) for one in QUESTIONS.values()}
    }


def _glide(planned: Ensemble) -> Ride:
    """Return what is heard of a flight that is let go and flown home, up to some minutes of it."""
    truth, launch = truth_of(planned, Changes(), 0), planned.sortie.launch
    path = let_go(truth, lifted(truth), _AT_S, 0).path
    fixes = []
    for t_s in np.arange(_STEP_S, _AT_S + _LOOSE_S, _STEP_S).tolist():
        here = path.at(t_s)
        lat_deg, lon_deg = place_deg(launch, here.north_rad, here.east_rad)
        fixes.append(Fix(feed="tracker", lat_deg=lat_deg, lon_deg=lon_deg, t_s=launch.t_s + t_s,
                         height_m=here.amsl_m))  # fmt: skip
    return with_falls(ride_of(fixes, launch), launch)


def _as_launched(sortie: Sortie, ride: Ride) -> Sortie:
    return replace(sortie, launch=launch_of(ride, sortie.launch))


def _last_t_s(ride: Ride) -> float:
    last = ride.newest
    return 0.0 if last is None or last.t_s is None else last.t_s
