"""Fill: the neck lift that gives a stated mean ascent or burst height, contradictions refused."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import pairwise
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import plain_climbs
from farglide.errors import ContradictionError
from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known, Tag
from farglide.sortie.spec import Sortie

_WIDEST_SD: Final = 2.0
_MOST_NECK_KG: Final = 15.0
_N_TRIED: Final = 25
_WORTH_A_NOTE: Final = 0.1
_N_ROUNDS: Final = 3


def with_solved_fill(flight: FlightFile, sounding: Sounding) -> FlightFile:
    """Return the flight with a neck lift, and with drag or diameter refitted to what is stated.

    Neck lift, mean ascent and burst height: two give the third. A rate stated beside a neck lift
    refits the drag factor, a burst height beside it the bursting diameter; a refit of a number that
    the file gives, by more than two of its standard deviations, is refused.
    """
    sortie = flight.sortie
    ascent, burst = flight.stated_mean_ascent_mps, flight.stated_burst_amsl_m
    if not flight.neck_lift_given:
        if ascent is not None:
            sortie = _filled_for_ascent(sortie, sounding, ascent)
            for _ in range(_N_ROUNDS if burst is not None else 0):
                # A burst elsewhere changes the mean of the climb a little, and so the lift for it.
                sortie = _refit_diameter(flight, sortie, sounding, burst or 0.0)
                sortie = _filled_for_ascent(sortie, sounding, ascent)
        elif burst is not None:
            sortie = _filled_for_burst(sortie, sounding, burst)
        return replace(flight, sortie=sortie)
    if ascent is not None:
        sortie = _refit_drag(flight, sortie, sounding, ascent)
    if burst is not None:
        sortie = _refit_diameter(flight, sortie, sounding, burst)
    return replace(flight, sortie=sortie, notes=(*flight.notes, *_moved(flight.sortie, sortie)))


def _moved(before: Sortie, after: Sortie) -> list[str]:
    """Return how far a refit moved what the climb and the burst were thought to follow."""
    drag = after.balloon.drag_factor.value / before.balloon.drag_factor.value
    diameter = after.balloon.burst_diameter_m.value / before.balloon.burst_diameter_m.value
    neck = f"{after.balloon.neck_lift_kg.value:g} kg of neck lift"
    found = []
    if abs(drag - 1.0) > _WORTH_A_NOTE:
        found.append(
            f"The stated climb with {neck} takes {drag:.2f} times the usual drag: taken so. If "
            "that surprises you, weigh the lift and time the climb again."
        )
    if abs(diameter - 1.0) > _WORTH_A_NOTE:
        found.append(
            f"The stated burst height with {neck} takes a bursting diameter of "
            f"{after.balloon.burst_diameter_m.value:.2f} m, {diameter:.2f} times the one before."
        )
    return found


def with_value(sortie: Sortie, section: str, name: str, value: float) -> Sortie:
    """Return the sortie with another value of a number, its doubt kept."""
    part = getattr(sortie, section)
    known = getattr(part, name)
    new = replace(known, value=value) if isinstance(known, Known) else value
    return replace(sortie, **{section: replace(part, **{name: new})})


def _with_neck(sortie: Sortie, neck_kg: float) -> Sortie:
    key = "balloon.mean_ascent_mps"  # where a rate was only guessed, so is the lift for it
    tag = sortie.tags.get(key, Tag.MEASURED)
    known = Known(value=neck_kg, sd=sortie.balloon.neck_lift_kg.sd, tag=tag)
    return replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=known))


def _with_diameter(sortie: Sortie, diameter_m: float) -> Sortie:
    known = sortie.balloon.burst_diameter_m
    fitted = replace(known, value=diameter_m, sd=known.spread_ratio * diameter_m)
    return replace(sortie, balloon=replace(sortie.balloon, burst_diameter_m=fitted))


def _mean_ascent_mps(sortie: Sortie, sounding: Sounding) -> float:
    at_s, amsl_m = error_free_climb(sortie, sounding)
    return (amsl_m - sortie.launch.amsl_m) / at_s


def _burst_amsl_m(sortie: Sortie, sounding: Sounding) -> float:
    return error_free_climb(sortie, sounding)[1]


def _filled_for_ascent(sortie: Sortie, sounding: Sounding, wanted_mps: float) -> Sortie:
    neck_kg = _root(
        lambda neck_kg: _mean_ascent_mps(_with_neck(sortie, neck_kg), sounding) - wanted_mps,
        sortie.hanging_kg * 1.01,
        _MOST_NECK_KG,
        ContradictionError(
            f"The mean climb wanted (mean_ascent_mps) is {wanted_mps:g} m/s, which no neck lift up "
            f"to {_MOST_NECK_KG:g} kg gives this balloon before it bursts.",
            "State another rate, or another balloon.",
        ),
    )
    return _with_neck(sortie, neck_kg)


def _filled_for_burst(sortie: Sortie, sounding: Sounding, wanted_m: float) -> Sortie:
    neck_kg = _root(
        lambda neck_kg: _burst_amsl_m(_with_neck(sortie, neck_kg), sounding) - wanted_m,
        sortie.hanging_kg * 1.01,
        _MOST_NECK_KG,
        ContradictionError(
            f"The burst height wanted (burst_height_amsl_m) is {wanted_m:.0f} m, which no neck "
            "lift that climbs reaches with a bursting diameter of "
            f"{sortie.balloon.burst_diameter_m.value:g} m.",
            "State another height or another balloon.",
        ),
    )
    return _with_neck(sortie, neck_kg)


def _refit_drag(
    flight: FlightFile, sortie: Sortie, sounding: Sounding, wanted_mps: float
) -> Sortie:
    known = sortie.balloon.drag_factor
    with_drag = partial(with_value, sortie, "balloon", "drag_factor")
    factor = _root(
        lambda factor: _mean_ascent_mps(with_drag(factor), sounding) - wanted_mps,
        0.1,
        10.0,
        ContradictionError(
            f"The mean climb wanted (mean_ascent_mps) is {wanted_mps:g} m/s, which this fill gives "
            "at no drag.",
            "Weigh the neck lift and time the climb again.",
        ),
    )
    ascent_ratio = sortie.doubt.ascent_ratio
    sd = known.sd if ascent_ratio is None else 2.0 * ascent_ratio * known.value
    allowed = _WIDEST_SD * sd
    if flight.drag_given and abs(factor - known.value) > allowed:
        raise ContradictionError(
            f"The mean climb of {wanted_mps:g} m/s (mean_ascent_mps) and the stated neck lift and "
            f"drag exclude each other: that climb needs {factor / known.value:.2f} times the drag, "
            f"more than two standard deviations ({allowed / known.value:.2f}) away.",
            "Leave one of the three out.",
        )
    return with_drag(factor)


def _refit_diameter(
    flight: FlightFile, sortie: Sortie, sounding: Sounding, wanted_m: float
) -> Sortie:
    known = sortie.balloon.burst_diameter_m
    diameter_m = _root(
        lambda diameter_m: _burst_amsl_m(_with_diameter(sortie, diameter_m), sounding) - wanted_m,
        0.6 * known.value,
        1.8 * known.value,
        ContradictionError(
            f"The burst height wanted (burst_height_amsl_m) is {wanted_m:.0f} m, which needs a "
            f"bursting diameter far from {known.value:g} m.",
            "Leave one of the two out, or correct it.",
        ),
    )
    allowed = _WIDEST_SD * known.sd
    if flight.burst_diameter_given and abs(diameter_m - known.value) > allowed:
        raise ContradictionError(
            f"The burst height of {wanted_m:.0f} m (burst_height_amsl_m) and the bursting diameter "
            f"of {known.value:g} m (burst_diameter_m) exclude each other with this fill: that "
            f"height needs {diameter_m:.2f} m, more than two standard deviations "
            f"({allowed:.2f} m) away.",
            "Leave one of them out.",
        )
    return _with_diameter(sortie, diameter_m)


def _root(
    miss: Callable[[float], float], least: float, most: float, refusal: ContradictionError
) -> float:
    """Return where `miss` first passes zero, by bisection on a logarithmic scale.

    Values for which there is no answer (NaN: it never bursts, or above the column) are passed over.
    A jump over zero, as a drag crisis makes it, is no answer.
    """
    tried = np.geomspace(least, most, _N_TRIED)
    missed = [(float(x), miss(float(x))) for x in tried]
    for (low, at_low), (high, at_high) in pairwise(missed):
        if at_low * at_high <= 0.0:
            widest = abs(at_high - at_low)
            while high / low > 1.0 + 1e-7:
                middle = float(np.sqrt(low * high))
                value = miss(middle)
                if value * at_low > 0.0:
                    low, at_low = middle, value
                else:
                    high, at_high = middle, value
            if abs(at_high - at_low) <= 1e-3 * widest:
                return float(np.sqrt(low * high))
    raise refusal


def error_free_climb(sortie: Sortie, sounding: Sounding) -> tuple[float, float]:
    """Return seconds from launch to burst and its height for a climb without any error.

    NaN where the balloon never bursts.
    """
    burst = plain_climbs(sortie, sounding, Grain()).burst
    return float(burst.after_launch_s[0]), float(burst.amsl_m[0])
