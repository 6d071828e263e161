"""Flight path: the planned flight and those of the draws, from the launch to over the field."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import Place, place_at
from farglide.plan.home.homeward import Homeward
from farglide.rig.listening import ready_s
from farglide.sim.core.tracks import Trails

_CLIMB_STEP_S: Final = 120.0
_GLIDE_STEP_S: Final = 60.0
_N_DRAWS: Final = 200


class FlightPath(NamedTuple):
    """The planned flight and those of the draws, point by point on one clock.

    `ensemble`: the flight without errors; `after_s` (n_points,); `flights`: heights and offsets,
    (1 + n_draws, n_points), the error-free flight first; `climb_end_s`: the release, or where the
    plan ends without one.
    """

    ensemble: Ensemble
    after_s: FloatArray
    flights: Trails
    climb_end_s: float

    def places(self) -> list[Place]:
        """Return the places of the error-free flight."""
        launch, flown = self.ensemble.sortie.launch, (each[0].tolist() for each in self.flights)
        places = zip(*flown, strict=True)
        return [place_at(launch, north, east, amsl_m) for amsl_m, north, east in places]


def planned_path(case: Case, moment: int, flight: Homeward | None) -> FlightPath:
    """Return the flight released at a moment: the climb, then the glide home.

    The glide is the one with most height that ends in time, else the flattest. A draw climbs as it
    is drawn; then it keeps the planned glide, beside it by as much as at its release, less and less
    the nearer it comes to the field.
    """
    plain, tracks = case.plain, case.plain.climbs.tracks
    every = max(round(_CLIMB_STEP_S / tracks.step_s), 1)
    climb = np.array(sorted({*range(0, moment, every), *_manned_at(case, moment), moment}))
    after_s = release_s = climb * tracks.step_s
    legs = [
        np.vstack([mine[:1, climb], drawn[:_N_DRAWS, np.minimum(climb, drawn.shape[1] - 1)]])
        for mine, drawn in zip(tracks.places, case.drawn.climbs.tracks.places, strict=True)
    ]
    if flight is not None:
        glide = flight.flown
        start_s, end_s = float(glide.after_s[0]), float(glide.after_s[-1])
        glide_s = np.array([*np.arange(start_s, end_s, _GLIDE_STEP_S), end_s])
        left = (end_s - glide_s) / max(end_s - start_s, 1.0)
        for k, values in enumerate((glide.amsl_m, glide.north_rad, glide.east_rad)):
            beside = legs[k][:, -1:] - legs[k][:1, -1:]
            way = np.interp(glide_s, glide.after_s, values) + beside * left
            legs[k] = np.hstack([legs[k], way])
        after_s = np.append(after_s, glide_s)
    return FlightPath(plain, after_s, Trails(*legs), float(release_s[-1]))


def _manned_at(case: Case, moment: int) -> list[int]:
    """Return the moments of the climb at which a stand is first manned: a table begins there."""
    sortie, step_s = case.sortie, case.plain.climbs.tracks.step_s
    ready = (ready_s(sortie, stand) for stand in sortie.stands)
    first = (math.ceil(one / step_s) for one in ready if math.isfinite(one))
    return [j for j in first if 0 < j < moment]
