"""What nobody steers in the demo by hand: stories, falls with the remains, and fields they pass.

Nothing here comes from the package.
"""

import math
from collections.abc import Iterator
from typing import Final

from .air import G0_MPS2, RHO0_KGPM3, air, wind_mps
from .climb import climb
from .reach import GLIDE_AFTER_S, PACKS_END_S, Field, is_reached, lost_m, released

CIRCLE_MPS: Final = 1.4
SPIRAL_MPS: Final = 4.5
SPIN_MPS: Final = 11.0
FALLING_KG: Final = 1.57
RELEASE_MIN: Final = 76.0
_STEP_S: Final = 2.0


def sunk(here: Field, sink_eas_mps: float) -> Iterator[tuple[float, Field]]:
    """Yield seconds and place of what sinks at one equivalent airspeed, to sea level."""
    t, (east, north, up) = 0.0, here
    while up > 0.0:
        yield t, Field(east, north, up)
        down = sink_eas_mps * math.sqrt(RHO0_KGPM3 / air(up).rho) * _STEP_S
        u, v = wind_mps(up - 0.5 * down)
        t, up = t + _STEP_S, up - down
        east, north = east + _STEP_S * float(u), north + _STEP_S * float(v)


def drift_and_s(from_m: float, sink_eas_mps: float, to_m: float) -> tuple[float, float]:
    """Return how far and how long something sinks from a height to another."""
    rows = [(t, at) for t, at in sunk(Field(0.0, 0.0, from_m), sink_eas_mps) if at.amsl_m > to_m]
    t, at = rows[-1]
    return math.hypot(at.east_m, at.north_m), t


def door_s(field: Field, sink_eas_mps: float, packs: bool = False) -> float:
    """Return how long after a release that nobody steers a field stays open."""
    for t, at in sunk(released(climb(), RELEASE_MIN), sink_eas_mps):
        after_s = GLIDE_AFTER_S + t
        left_s = PACKS_END_S - 60.0 * RELEASE_MIN - after_s if packs else math.inf
        if not is_reached(at, field, left_s=left_s):
            return after_s
    return math.inf


def burst_fall(area_m2: float, bursting_m: float) -> Iterator[tuple[float, Field]]:
    """Yield seconds after a burst and the place of all that falls from rest, tied together."""
    flown = climb(bursting_m=bursting_m)
    east, north, up = (float(row[-1]) for row in (flown.east_m, flown.north_m, flown.amsl_m))
    step_s, speed, n = 0.1, 0.0, 0
    while up > 0.0:
        if n % 10 == 0:
            yield 0.1 * n, Field(east, north, up)
        drag_n = 0.5 * air(up).rho * speed * speed * area_m2
        speed += (G0_MPS2 - drag_n / FALLING_KG) * step_s
        u, v = wind_mps(up)
        up, n = up - speed * step_s, n + 1
        east, north = east + step_s * float(u), north + step_s * float(v)


def burst_door_s(field: Field, area_m2: float, bursting_m: float) -> float:
    """Return for how long after a burst a release, and the drop from rest, still reach a field."""
    for t, at in burst_fall(area_m2, bursting_m):
        if not is_reached(at._replace(amsl_m=at.amsl_m - lost_m(at.amsl_m)), field):
            return t
    return math.inf


def within_min(field: Field, sink_eas_mps: float, radius_m: float) -> tuple[float, float]:
    """Return from when to when what sinks is inside a radius of a field: minutes after launch."""
    inside = [
        RELEASE_MIN + t / 60.0
        for t, at in sunk(released(climb(), RELEASE_MIN), sink_eas_mps)
        if math.dist(at, field) <= radius_m
    ]
    return (inside[0], inside[-1]) if inside else (math.nan, math.nan)
