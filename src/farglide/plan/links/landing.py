"""Landing: the way down over the field, from the end of the planned glide to the ground."""

from typing import Final

import numpy as np

from farglide.plan.home.homeward import Homeward
from farglide.plan.links.flightpath import FlightPath
from farglide.sim.core.tracks import Trails

_STEP_S: Final = 60.0


def landing_path(path: FlightPath, flight: Homeward) -> FlightPath:
    """Return the flight held over the field from the end of `path` until it is on the ground.

    Every draw circles where its glide ended, at the heights of the flight without errors.
    """
    start_s, stay = float(path.after_s[-1]), flight.stay
    after_s = np.append(np.arange(0.0, stay.seconds, _STEP_S), stay.seconds)
    amsl_m = np.interp(after_s, stay.after_s, stay.amsl_m)
    n_flights = path.flights.amsl_m.shape[0]
    still = (np.repeat(one[:, -1:], len(after_s), axis=1) for one in path.flights[1:])
    flights = Trails(np.repeat(amsl_m[None, :], n_flights, axis=0), *still)
    return FlightPath(path.ensemble, start_s + after_s, flights, path.climb_end_s)
