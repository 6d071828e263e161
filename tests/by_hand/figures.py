"""The demo's figures by hand, under the labels of the page that compares them."""

import math
from collections.abc import Callable, Mapping
from typing import Final

import numpy as np

from . import sun
from .climb import BURST_DIAMETER_M, Climb, climb, diameter_m, volume_m3
from .reach import (
    BRACKMOOR,
    CORRAND,
    FIELDS,
    GLIDE_AFTER_S,
    HOME,
    OVER_FIELD_M,
    TANSY,
    Field,
    Flying,
    best_glide_s,
    flattest_s,
    is_reached,
    open_minutes,
    quickest_s,
    released,
    spare_m,
    sunk_s,
)

Values = tuple[float, ...]
_DIAMETER_SHARE: Final = 0.06
_GIVEN: Final = climb()
_AT_76: Final = released(_GIVEN, 76.0)
_WHOLE_MINUTES: Final = np.arange(3, 81)


def _turns(flown: Climb, field: Field, flying: Flying = Flying()) -> Values:  # noqa: B008
    """Return the half minutes before the burst at which a field begins to be open or shut."""
    spans = open_minutes(flown, field, flying)
    last = 0.5 * int(2.0 * flown.burst_min)
    return tuple(t for a, b in spans for t in ((a,) if b >= last else (a, b + 0.5)))


def _again(flown: Climb, flying: Flying = Flying()) -> float:  # noqa: B008
    return _turns(flown, HOME, flying)[-1]


def _none_open(*fields: Field) -> Values:
    """Return first, last and number of the minutes T+3 to T+80 with none of some fields open."""
    none = [
        float(t)
        for t in _WHOLE_MINUTES
        if not any(is_reached(released(_GIVEN, float(t)), field) for field in fields)
    ]
    return (none[0], none[-1], float(len(none))) if none else (0.0, 0.0, 0.0)


def _shut_min(up_drift_km: float) -> float:
    """Return the minutes T+3 to T+80 with home shut, launched so far up-drift of it."""
    bearing = math.radians(130.0)
    there = (1e3 * up_drift_km * one for one in (math.sin(bearing), math.cos(bearing)))
    home = Field(*there, HOME.amsl_m)
    return float(sum(not is_reached(released(_GIVEN, float(t)), home) for t in _WHOLE_MINUTES))


def _burst_by(minute: float) -> float:
    """Return the share of bursting diameters that a climb as planned has passed."""
    plan = climb(bursting_m=12.0)
    grown_m = diameter_m(volume_m3(1.6), 1e3 * plan.at_min(minute)[2])
    off = (grown_m - BURST_DIAMETER_M) / (_DIAMETER_SHARE * BURST_DIAMETER_M)
    return 0.5 * (1.0 + math.erf(off / math.sqrt(2.0)))


def _burst_within(minute: float) -> float:
    now, later = _burst_by(minute), _burst_by(minute + 1.0)
    return (later - now) / (1.0 - now)


def _spare_km(field: Field) -> float:
    return spare_m(_AT_76, field) / 1e3


def _over_home_m() -> tuple[float, float]:
    """Return the heights from the most over home down to it."""
    return spare_m(_AT_76, HOME) + HOME.amsl_m, HOME.amsl_m


def _burst(flown: Climb) -> float:
    return float(flown.amsl_m[-1]) / 1e3


def _sun_and_home() -> Values:
    east, north, _ = _GIVEN.at_min(76.0)
    home_deg = math.degrees(math.atan2(-east, -north)) % 360.0
    return (*sun.place_deg(76.0, *sun.over_demo(east, north)), home_deg)


_NECKS: Final = (1.4, 1.5, 1.6, 1.7)
DEMO: Final = (-46.5, 108.0)
BY_HAND: Final[Mapping[str, Callable[[], Values]]] = {
    "Volume of hydrogen for 1.4, 1.5, 1.6, 1.7 kg: m³": lambda: tuple(map(volume_m3, _NECKS)),
    "Burst for these: km": lambda: tuple(_burst(climb(kg)) for kg in _NECKS),
    "Burst for these: T+": lambda: tuple(climb(kg).burst_min for kg in _NECKS),
    "Height at T+5 for 1.4, 1.6, 1.8 kg: m":
        lambda: tuple(1e3 * climb(kg).at_min(5.0)[2] for kg in (1.4, 1.6, 1.8)),
    "Burst with a drag coefficient of 0.25, 0.35: T+":
        lambda: tuple(climb(drag=drag).burst_min for drag in (0.25, 0.35)),
    "Burst, diameter 10 and 5 % less, 5 and 10 % more: km higher":
        lambda: tuple(_burst(climb(bursting_m=k * BURST_DIAMETER_M)) - _burst(_GIVEN)
                      for k in (0.9, 0.95, 1.05, 1.1)),
    "Burst: km": lambda: (_burst(_GIVEN),),
    "Burst: T+": lambda: (_GIVEN.burst_min,),
    "Burst: km east, north": lambda: _GIVEN.at_min(_GIVEN.burst_min)[:2],
    **{f"T+{t}: km east, north": lambda t=t: _GIVEN.at_min(t)[:2] for t in (40, 60, 76, 80)},
    "Height at T+40, 60, 76, 80: km":
        lambda: tuple(_GIVEN.at_min(t)[2] for t in (40, 60, 76, 80)),
    "Farthest from home: km":
        lambda: (float(np.hypot(_GIVEN.east_m, _GIVEN.north_m).max()) / 1e3,),
    "FL100, 200, 330, 450, 600: T+":
        lambda: tuple(_GIVEN.passes_min(30.48 * level) for level in (100, 200, 330, 450, 600)),
    "Home opens, shuts, opens: T+": lambda: _turns(_GIVEN, HOME),
    "Height when last and when again open: km":
        lambda: tuple(_GIVEN.at_min(t)[2] for t in (open_minutes(_GIVEN, HOME)[0][1],
                                                    open_minutes(_GIVEN, HOME)[1][0])),
    "Tansy Lea opens, shuts, opens: T+": lambda: _turns(_GIVEN, TANSY),
    "Brackmoor, Corrand open: T+":
        lambda: (*_turns(_GIVEN, BRACKMOOR), *_turns(_GIVEN, CORRAND)),
    "No open field of home alone: first, last, minutes": lambda: _none_open(HOME),
    "The same of home and Tansy Lea": lambda: _none_open(HOME, TANSY),
    "Minutes without when Brackmoor, Corrand is added":
        lambda: (_none_open(HOME, TANSY, BRACKMOOR)[2], _none_open(HOME, TANSY, CORRAND)[2]),
    "Home reopens, L/D 20 and 10 % less, 10 % more: T+":
        lambda: tuple(_again(_GIVEN, Flying(glide_ratio=k)) for k in (0.8, 0.9, 1.1)),
    "Home reopens, winds 20 and 10 % less, 10, 20, 30 % more: T+":
        lambda: tuple(_again(climb(wind_ratio=k), Flying(wind_ratio=k))
                      for k in (0.8, 0.9, 1.1, 1.2, 1.3)),
    "Home reopens, climb 10 and 5 % less, 5 and 10 % more: T+":
        lambda: tuple(_again(climb(speed_ratio=k)) for k in (0.9, 0.95, 1.05, 1.1)),
    "One speed held: home shuts, reopens: T+":
        lambda: _turns(_GIVEN, HOME, Flying(held_eas_mps=10.33))[1:],
    "Home reopens, drag as at high Reynolds numbers: T+":
        lambda: (_again(_GIVEN, Flying(exponent=0.0)),),
    "Home shut of T+3 to T+80, launch 0, 10, 20, 30, 40 km up-drift: min":
        lambda: tuple(_shut_min(km) for km in (0, 10, 20, 30, 40)),
    "The same, 50, 60, 70, 80 km": lambda: tuple(_shut_min(km) for km in (50, 60, 70, 80)),
    "Burst by T+76, 78, 80, 82, 83, climb as planned":
        lambda: tuple(map(_burst_by, (76, 78, 80, 82, 83))),
    "Burst within 60 s if whole at T+76, 78, 80, 82":
        lambda: tuple(map(_burst_within, (76, 78, 80, 82))),
    "T+76: spare over the four fields: km": lambda: tuple(map(_spare_km, FIELDS)),
    "Over home with most spare: T+":
        lambda: (76.0 + (GLIDE_AFTER_S + flattest_s(_AT_76, HOME)) / 60.0,),
    "Down from there in a firm spiral: min": lambda: (sunk_s(*_over_home_m(), 4.5) / 60.0,),
    "Down at the flattest glide of each height: min":
        lambda: (best_glide_s(*_over_home_m()) / 60.0,),
    "Quickest 300 m over home: T+":
        lambda: (76.0 + (GLIDE_AFTER_S + quickest_s(_AT_76, HOME, OVER_FIELD_M)) / 60.0,),
    "Sun at T+76: azimuth, elevation, bearing of home: °": _sun_and_home,
    "Sun over home at T+100: azimuth, elevation: °": lambda: sun.place_deg(100.0, *DEMO),
    "Sunset, dusk at home, sunset at 28 km: T+":
        lambda: (sun.sinks_below_min(-0.833, *DEMO), sun.sinks_below_min(-6.0, *DEMO),
                 sun.sinks_below_min(-0.833 - sun.dip_deg(28.0), *DEMO)),
}  # fmt: skip
"""What is not a chance; `chances` has those."""
