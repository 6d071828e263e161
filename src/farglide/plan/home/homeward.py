"""Homeward: the error-free flights from the release to a field: quickest, flattest, in time."""

from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from farglide.chances.ensemble import Ensemble
from farglide.outlook.release import DownOutlook, TimelyOutlook
from farglide.plan.home.downs import down_outlook, gentle_down, soonest_down, spiral_down
from farglide.plan.home.glides import (
    Begun,
    begun,
    fitted,
    is_held,
    quickest,
    spare_over_m,
    tabled_way,
)
from farglide.sim.fly.passage import Passage
from farglide.sim.fly.stay import Stay

_HEIGHT_STEP_M: Final = 20.0
_MOST_LOWERINGS: Final = 6


class Timely(NamedTuple):
    """The flight with most height over the field that still ends before packs and light do."""

    told: TimelyOutlook
    passage: Passage
    stay: Stay


@dataclass(frozen=True, slots=True, kw_only=True)
class Homeward:
    """The flights to one field from one moment of the climb; times are after the launch."""

    spare_m: float
    over_field_s: float  # quickest arrival at the arrival height
    flattest_down_s: float  # most height over the field, and circling down at best glide
    spiral_down_s: float | None  # or in the firm spiral the crew has timed
    quickest: Passage
    flattest: Passage
    timely: Timely | None  # None where the flattest flight itself ends in time, or none does
    down: DownOutlook  # of the flight in time, else of the flattest one
    stay: Stay  # that way down

    @property
    def flown(self) -> Passage:
        """Return the glide with most height over the field that ends in time, else the flattest."""
        return self.timely.passage if self.timely else self.flattest

    @property
    def down_s(self) -> float:
        """Return when that glide and its way down over the field end on the ground."""
        return float(self.flown.after_s[-1]) + self.stay.seconds


def spare_m(ensemble: Ensemble, moment: int, field: int) -> float:
    """Return the spare height over a field for an error-free release, NaN out of reach."""
    flight = begun(ensemble, moment, field)
    if flight is None:
        return float("nan")
    return spare_over_m(ensemble, flight) - flight.ground_amsl_m


def homeward(ensemble: Ensemble, moment: int, field: int) -> Homeward | None:
    """Return the error-free flights from a moment to a field; None when out of reach."""
    flight = begun(ensemble, moment, field)
    return None if flight is None else flights_home(ensemble, flight)


def flights_home(ensemble: Ensemble, flight: Begun) -> Homeward:
    """Return the error-free flights to a field of a glider that is level and on its way."""
    ground_m, start = flight.ground_amsl_m, flight.state
    spare_amsl_m, quick = spare_over_m(ensemble, flight), quickest(ensemble, flight)
    flat = fitted(ensemble, flight.way(0.0), start, spare_amsl_m)
    over_s = float(flat.after_s[-1])
    gentle = gentle_down(ensemble, spare_amsl_m, ground_m)
    spiral = spiral_down(ensemble, spare_amsl_m, ground_m)
    circled_s = over_s + gentle.seconds
    spiralled_s = None if spiral is None else over_s + spiral.seconds
    ends_s, end_s = circled_s if spiralled_s is None else spiralled_s, _end_s(ensemble)
    timely = None if ends_s <= end_s else _timely(ensemble, flight, spare_amsl_m)
    if timely is not None:
        down, stay = timely.told.down, timely.stay
    elif spiral is not None and circled_s > end_s:
        down, stay = down_outlook(spiral, firm_spiral=True), spiral
    else:
        down, stay = down_outlook(gentle, firm_spiral=False), gentle
    return Homeward(
        spare_m=spare_amsl_m - ground_m,
        over_field_s=float(quick.after_s[-1]),
        flattest_down_s=circled_s,
        spiral_down_s=spiralled_s,
        quickest=quick,
        flattest=flat,
        timely=timely,
        down=down,
        stay=stay,
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
    if not _ends_in_time(ensemble, flight):
        return None
    while high - low > _HEIGHT_STEP_M:
        middle = 0.5 * (low + high)
        if _ends_in_time(ensemble, _over_at(flight, middle)):
            low = middle
        else:
            high = middle
    return _told(ensemble, flight, low)


def _told(ensemble: Ensemble, flight: Begun, over_amsl_m: float) -> Timely | None:
    """Return the flight over the field at a height, or a little lower, that really ends in time.

    The bisection asks a table of prices; the flight itself may come some seconds later.
    """
    ground_m, arrival_m = flight.ground_amsl_m, flight.descent.to_amsl_m
    spirals = ensemble.sortie.glider.spiral_sink_eas_mps is not None
    for _ in range(_MOST_LOWERINGS):
        passage = quickest(ensemble, _over_at(flight, over_amsl_m))
        over_s = float(passage.after_s[-1])
        stay = soonest_down(ensemble, over_amsl_m, ground_m)
        late_s = over_s + stay.seconds - _end_s(ensemble)
        if late_s <= 0.0:
            told = TimelyOutlook(
                spare_m=over_amsl_m - ground_m,
                over_field_after_launch_s=over_s,
                down_after_launch_s=over_s + stay.seconds,
                down=down_outlook(stay, firm_spiral=spirals),
            )
            return Timely(told, passage, stay)
        mean_sink_mps = (over_amsl_m - ground_m) / stay.seconds
        over_amsl_m = max(over_amsl_m - (1.5 * late_s + 5.0) * mean_sink_mps, arrival_m)
    return None


def _over_at(flight: Begun, over_amsl_m: float) -> Begun:
    return flight._replace(descent=flight.descent._replace(to_amsl_m=over_amsl_m))


def _ends_in_time(ensemble: Ensemble, flight: Begun) -> bool:
    """Tell whether a flight can be held over the field and ends in time."""
    if not is_held(ensemble, flight):
        return False
    over_s = flight.state.t_s + tabled_way(ensemble, flight).seconds
    stay = soonest_down(ensemble, flight.descent.to_amsl_m, flight.ground_amsl_m)
    return over_s + stay.seconds <= _end_s(ensemble)
