"""A whole flight of the demo as its tracker tells it: let go and flown home, or burst tied on."""

from dataclasses import dataclass, replace

import numpy as np

from farglide.earth.state import place_deg
from farglide.live.asking import as_planned
from farglide.live.rehearse.flown import let_go
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.trace import Trace
from farglide.live.rehearse.truth import truth_of
from farglide.live.ride.slow import Flight
from farglide.sortie.spec import Launch
from farglide.track.reports import Fix, Raw

from .made import Crew, nmea

RELEASE_S = 4440.0
AS_PLANNED = Changes()


@dataclass(frozen=True)
class Told:
    """A flight and what its tracker tells of it; `event_s`: of the release or the burst."""

    launch: Launch
    path: Trace
    event_s: float

    def at(self, t_s: float) -> Fix:
        """Return the fix of a moment after the launch."""
        here = self.path.at(t_s)
        lat_deg, lon_deg = place_deg(self.launch, here.north_rad, here.east_rad)
        return Fix(feed="tracker", lat_deg=lat_deg, lon_deg=lon_deg, height_m=here.amsl_m,
                   t_s=self.launch.t_s + t_s)  # fmt: skip

    def between(self, from_s: float, to_s: float, step_s: float = 5.0) -> tuple[Fix, ...]:
        """Return the fixes of a stretch."""
        return tuple(self.at(float(t_s)) for t_s in np.arange(from_s, to_s + 1e-6, step_s))


def released(
    flight: Flight, release_s: float = RELEASE_S, changes: Changes = AS_PLANNED, seed: int = 0
) -> Told:
    """Return the flight that is let go and flown home, as planned but for that and some changes.

    `seed`: of what is drawn; 0 draws nothing.
    """
    planned = as_planned(flight.sortie, flight.pack, flight.grain, flight.workers)
    truth = truth_of(planned, changes, seed)
    flown = let_go(truth, lifted(truth), release_s, 0)
    return Told(flight.sortie.launch, flown.path, release_s)


def burst(flight: Flight) -> Told:
    """Return the flight that bursts two deviations early with the glider tied on."""
    planned = as_planned(flight.sortie, flight.pack, flight.grain, flight.workers)
    lift = lifted(truth_of(planned, Changes(burst_sd=-2.0), 0))
    return Told(flight.sortie.launch, lift.path, lift.burst_s)


def freed(flight: Flight, after_s: float = 40.0) -> Told:
    """Return the flight that bursts as `burst` does and comes free, let go so long after."""
    planned = as_planned(flight.sortie, flight.pack, flight.grain, flight.workers)
    truth = replace(truth_of(planned, Changes(burst_sd=-2.0), 0), comes_free=True)
    lift = lifted(truth)
    flown = let_go(truth, lift, lift.burst_s + after_s, 0)
    return Told(flight.sortie.launch, flown.path, lift.burst_s)


def up_to(crew: Crew, told: Told, to_s: float) -> None:
    """Launch on time and hear a climb up to a moment; tables are in use from then on alone."""
    crew.at(0.0)
    crew.types("launched")
    for fix in told.between(20.0, to_s, 20.0):
        crew.at((fix.t_s or 0.0) - crew.launch_t_s + 0.1)
        raw = Raw(feed="tracker", monotonic_s=crew.at_s, utc_s=crew.t_s, data=nmea(fix))
        crew.running.take(raw, crew.clocks)
    crew.sums()


def hears(crew: Crew, told: Told, to_s: float, step_s: float = 5.0) -> None:
    """Hear a flight on to a moment."""
    now_s = crew.t_s - crew.launch_t_s
    for fix in told.between(step_s * np.ceil(now_s / step_s), to_s, step_s):
        crew.hears(fix)
