"""Downs: the error-free ways down over a field, in gentle circles and in the firm spiral."""

from typing import Final

from farglide.arrays import BoolArray
from farglide.chances.ensemble import Ensemble
from farglide.outlook.release import DownOutlook, HeightSpan
from farglide.plan.home.glides import own_craft
from farglide.sim.fly.over import Turn
from farglide.sim.fly.stay import Flyer, Stay, stay_over
from farglide.sim.reach.reach import Descent

_MOSTLY_RATIO: Final = 0.5
"""Legs that take this share of the time or more are told."""
_FACED_RATIO: Final = 0.999


def gentle_down(ensemble: Ensemble, from_amsl_m: float, ground_m: float) -> Stay:
    """Return the way down in circles at the flattest glide."""
    return _down(ensemble, Descent(from_amsl_m, ground_m), Turn())


def spiral_down(ensemble: Ensemble, from_amsl_m: float, ground_m: float) -> Stay | None:
    """Return the way down in the firm spiral; None where the crew has not timed one."""
    known = ensemble.sortie.glider.spiral_sink_eas_mps
    if known is None:
        return None
    return _down(ensemble, Descent(from_amsl_m, ground_m), Turn(sink_eas_mps=known.value))


def soonest_down(ensemble: Ensemble, from_amsl_m: float, ground_m: float) -> Stay:
    """Return the way down in the firm spiral where it was timed, else in gentle circles."""
    spiral = spiral_down(ensemble, from_amsl_m, ground_m)
    return gentle_down(ensemble, from_amsl_m, ground_m) if spiral is None else spiral


def down_outlook(stay: Stay, *, firm_spiral: bool) -> DownOutlook:
    """Return what is told of a way down over a field."""
    return DownOutlook(
        seconds=stay.seconds,
        firm_spiral=firm_spiral,
        farthest_m=stay.farthest_m,
        comes_back=stay.comes_back,
        legs_between_amsl_m=_span(stay, stay.legs_ratio >= _MOSTLY_RATIO),
        faced_between_amsl_m=_span(stay, stay.legs_ratio >= _FACED_RATIO),
        beaten_between_amsl_m=_span(stay, stay.set_back_mps > 0.0),
    )


def _span(stay: Stay, rows: BoolArray) -> HeightSpan | None:
    between_m = stay.between_m(rows)
    return HeightSpan(*between_m) if between_m else None


def _down(ensemble: Ensemble, descent: Descent, turn: Turn) -> Stay:
    flyer = Flyer(own_craft(ensemble), ensemble.reach.reaches.speeds)
    return stay_over(ensemble.air.scene, flyer, descent, turn)
