"""Homeward: the error-free flights from the release to a field: quickest, flattest, in time."""

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.earth.geodesy import EastNorth
from farglide.plan.home.glides import Begun, begun, fitted, quickest
from farglide.sim.fly.descend import Falls, descend
from farglide.sim.fly.glide import Craft, Turn
from farglide.sim.fly.passage import Passage, aim, descent_s, quickest_way, spare_way
from farglide.sim.reach.reach import Descent

_HEIGHT_STEP_M: Final = 20.0
_MOST_LOWERINGS: Final = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Timely:
    """The flight with most height over the field that still ends before packs and light do."""

    spare_m: float
    over_field_s: float
    down_s: float
    firm_spiral: bool  # how it comes down from there; else in gentle circles
    passage: Passage


@dataclass(frozen=True, slots=True, kw_only=True)
class Homeward:
    """The flights to one field from one moment of the climb; times are after the launch."""

    spare_m: float
    over_field_s: float  # quickest arrival at the arrival height
    flattest_over_s: float  # arrival with most height over the field
    flattest_down_s: float  # and circling down from there at best glide
    spiral_down_s: float | None  # or in the firm spiral the crew has timed
    quickest: Passage
    flattest: Passage
    timely: Timely | None  # None where the flattest flight itself ends in time, or none does


def spare_m(ensemble: Ensemble, moment: int, field: int) -> float:
    """Return the spare height over a field for an error-free release, NaN out of reach."""
    flight = begun(ensemble, moment, field)
    if flight is None:
        return float("nan")
    ground_m, free = flight.ground_amsl_m, ensemble.reach.ways.free
    return spare_way(free, ground_m, flight.descent, flight.away)[0] - ground_m


def homeward(ensemble: Ensemble, moment: int, field: int) -> Homeward | None:
    """Return an error-free stage's flights from a moment to a field; None when out of reach."""
    flight = begun(ensemble, moment, field)
    if flight is None:
        return None
    ground_m, start_s = flight.ground_amsl_m, flight.state.t_s
    spare_amsl_m, flat_way = spare_way(
        ensemble.reach.ways.free, ground_m, flight.descent, flight.away
    )
    quick_s, quick_way = quickest(ensemble, flight)
    flat = fitted(ensemble, flat_way, flight.state, spare_amsl_m, flight.goal)
    arrival_m = flight.descent.to_amsl_m
    flat_over_s = float(flat.after_s[-1])
    circled_s = flat_over_s + _circling_s(ensemble, spare_amsl_m, ground_m)
    spiral_s = _spiral_s(ensemble, spare_amsl_m, ground_m)
    spiralled_s = None if spiral_s is None else flat_over_s + spiral_s
    ends_s = circled_s if spiralled_s is None else spiralled_s
    return Homeward(
        spare_m=spare_amsl_m - ground_m,
        over_field_s=start_s + quick_s,
        flattest_over_s=flat_over_s,
        flattest_down_s=circled_s,
        spiral_down_s=spiralled_s,
        quickest=fitted(ensemble, quick_way, flight.state, arrival_m, flight.goal),
        flattest=flat,
        timely=None if ends_s <= _end_s(ensemble) else _timely(ensemble, flight, spare_amsl_m),
    )


def _end_s(ensemble: Ensemble) -> float:
    """Return when the error-free flight must have ended: the first of packs and light."""
    return float(ensemble.reach.haste.end_s[0])


def must_end_by(ensemble: Ensemble) -> Literal["packs", "light"]:
    """Return which of packs and light ends the error-free flight."""
    return "packs" if float(ensemble.draws.pack_end_s[0]) <= _end_s(ensemble) else "light"


def _timely(ensemble: Ensemble, flight: Begun, spare_amsl_m: float) -> Timely | None:
    """Return the flight with most height over the field that ends in time; None if none does.

    The more height is to be left, the longer the quickest flight that leaves it and the way down
    from there: the height is found by bisection.
    """
    low, high = flight.descent.to_amsl_m, spare_amsl_m
    if not _ends_in_time(ensemble, flight, low):
        return None
    while high - low > _HEIGHT_STEP_M:
        middle = 0.5 * (low + high)
        if _ends_in_time(ensemble, flight, middle):
            low = middle
        else:
            high = middle
    return _told(ensemble, flight, low)


def _told(ensemble: Ensemble, flight: Begun, over_amsl_m: float) -> Timely | None:
    """Return the flight over the field at a height, or a little lower, that really ends in time.

    The bisection asks a table of prices; the flight itself may come some seconds later.
    """
    ground_m, arrival_m = flight.ground_amsl_m, flight.descent.to_amsl_m
    for _ in range(_MOST_LOWERINGS):
        descent = flight.descent._replace(to_amsl_m=over_amsl_m)
        _, way = quickest(ensemble, flight._replace(descent=descent))
        passage = fitted(ensemble, way, flight.state, over_amsl_m, flight.goal)
        over_s = float(passage.after_s[-1])
        down_s = _down_s(ensemble, over_amsl_m, ground_m)
        late_s = over_s + down_s - _end_s(ensemble)
        if late_s <= 0.0:
            return Timely(
                spare_m=over_amsl_m - ground_m,
                over_field_s=over_s,
                down_s=over_s + down_s,
                firm_spiral=_spiral_s(ensemble, over_amsl_m, ground_m) is not None,
                passage=passage,
            )
        mean_sink_mps = (over_amsl_m - ground_m) / down_s
        over_amsl_m = max(over_amsl_m - (1.5 * late_s + 5.0) * mean_sink_mps, arrival_m)
    return None


def _ends_in_time(ensemble: Ensemble, flight: Begun, over_amsl_m: float) -> bool:
    """Tell whether a flight over the field at a height can be held there and ends in time."""
    ground_m, ways = flight.ground_amsl_m, ensemble.reach.ways
    if aim(ways.free, Descent(over_amsl_m, ground_m), EastNorth(0.0, 0.0)).margin_m < 0.0:
        return False
    descent = flight.descent._replace(to_amsl_m=over_amsl_m)
    quick_s, _ = quickest_way(ways, descent, flight.away)
    return flight.state.t_s + quick_s + _down_s(ensemble, over_amsl_m, ground_m) <= _end_s(ensemble)


def _down_s(ensemble: Ensemble, from_amsl_m: float, ground_m: float) -> float:
    """Return seconds down over the field: in the firm spiral where it was timed, else circling."""
    spiral_s = _spiral_s(ensemble, from_amsl_m, ground_m)
    return _circling_s(ensemble, from_amsl_m, ground_m) if spiral_s is None else spiral_s


def _circling_s(ensemble: Ensemble, from_amsl_m: float, ground_m: float) -> float:
    craft = Craft(
        ensemble.craft.polar, ensemble.craft.limits, float(ensemble.draws.glide_factor[0])
    )
    return descent_s(ensemble.air.scene, craft, Descent(from_amsl_m, ground_m), Turn())


def _spiral_s(ensemble: Ensemble, from_amsl_m: float, ground_m: float) -> float | None:
    known = ensemble.sortie.glider.spiral_sink_eas_mps
    if known is None:
        return None
    start = np.array([[0.0, from_amsl_m, 0.0, 0.0]])
    falls = Falls(start, np.array([known.value]), ground_m)
    return float(descend(ensemble.air.scene, ensemble.draws.swarm, falls)[0, 0])
