"""Call: what an air traffic unit is told of what sinks, with levels and times as they now are."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import geodesic
from farglide.earth.state import place_of
from farglide.live.asked.call import height_of_m, level_at
from farglide.live.free.moving import Moving
from farglide.live.loosened.flight import LooseFlight
from farglide.outlook.after import Stage
from farglide.outlook.askedafter import CallAfter, LevelLeft

_EVERY: Final = 100
_MOST: Final = 6
_SPAN_M: Final = 300.0
_STEP_M: Final = 50.0


class _Sinking(NamedTuple):
    """Its way down in the middle of what is believed, heights falling."""

    after_s: FloatArray
    amsl_m: FloatArray


def call_after(asked: LooseFlight) -> CallAfter:
    """Return what the call card holds now. Source of levels: pressure altitude, ISO 2533."""
    now, steer, aim = asked.advice.place, asked.after.steer, asked.aim
    line = geodesic(place_of(asked.launch, 0.0), place_of(asked.place, 0.0))
    course = _course(asked)
    down = _down(asked)
    field = None if aim is None else asked.sortie.fields[aim]
    return CallAfter(
        after_launch_s=asked.now_s,
        stage=asked.advice.stage,
        lat_deg=now.lat_deg,
        lon_deg=now.lon_deg,
        within_m=now.most_within_m,
        from_launch_m=line.distance_m,
        from_launch_deg=line.azimuth_deg,
        amsl_m=now.amsl_m,
        level=level_at(asked.climbed, now.amsl_m),
        sinks_mps=None if down is None else _sinks_mps(down),
        moves_to_deg=None if course is None else course.to_deg,
        moves_mps=None if course is None else course.mps,
        moves_as_seen=asked.moves is not None,
        levels=() if down is None else _levels(asked, down),
        field="" if field is None else field.name,
        field_lat_deg=None if field is None else field.lat_deg,
        field_lon_deg=None if field is None else field.lon_deg,
        over_after_launch_s=None if steer is None else steer.over_after_launch_s,
        down_after_launch_s=None if steer is None else steer.down_after_launch_s,
        comes_down=asked.after.comes_down,
        airspace=dict(asked.sortie.permissions).get("airspace", "missing"),
    )


def _course(asked: LooseFlight) -> Moving | None:
    """Return where it goes as its fixes show it, else as advised, if anybody steers it."""
    steer, stage = asked.after.steer, asked.advice.stage
    if asked.moves is not None or steer is None or stage not in (Stage.GLIDING, Stage.DROPPED):
        return asked.moves
    return Moving(steer.track_deg, steer.ground_mps)


def _down(asked: LooseFlight) -> _Sinking | None:
    """Return how it sinks from now on: on its way, else as the likeliest story has it."""
    falls = asked.after.comes_down
    if falls:
        return falling(asked, falls[0].down_after_launch_s)
    way = asked.way
    if way is None:
        return None
    path = way.passage
    return _Sinking(np.append(path.after_s, way.down_s),
                    np.append(path.amsl_m, _ground_m(asked)))  # fmt: skip


def falling(asked: LooseFlight, down_s: float) -> _Sinking:
    """Return heights of what falls at one EAS from now to its landing.

    Its speed goes with one over the root of the density; source: equal dynamic pressure.
    """
    amsl_m = np.arange(asked.place.amsl_m, _ground_m(asked), -_STEP_M)
    layers = asked.plain.air.column.layers
    slow = np.interp(amsl_m, asked.plain.air.column.middles_amsl_m, 1.0 / layers.tas_per_eas)
    gone = np.cumsum(slow) - slow
    share = gone / max(float(gone[-1]), 1e-9)
    return _Sinking(asked.now_s + share * (down_s - asked.now_s), amsl_m)


def _sinks_mps(down: _Sinking) -> float:
    """Return the sink of the next hundreds of metres."""
    low_m = max(down.amsl_m[0] - _SPAN_M, float(down.amsl_m[-1]))
    seconds = _passed_s(down, low_m) - float(down.after_s[0])
    return float(down.amsl_m[0] - low_m) / max(seconds, 1.0)


def _levels(asked: LooseFlight, down: _Sinking) -> tuple[LevelLeft, ...]:
    """Return when the next levels are passed; a few of them, down to the lowest."""
    now = level_at(asked.climbed, float(down.amsl_m[0]))
    ahead = range((now - 1) // _EVERY * _EVERY, 0, -_EVERY)
    heights = [(one, height_of_m(asked.climbed, one)) for one in ahead]
    return tuple(
        LevelLeft(level=level, amsl_m=high_m, after_launch_s=_passed_s(down, high_m))
        for level, high_m in heights[:_MOST]
        if down.amsl_m[-1] < high_m < down.amsl_m[0]
    )


def _passed_s(down: _Sinking, amsl_m: float) -> float:
    return float(np.interp(-amsl_m, -down.amsl_m, down.after_s))


def _ground_m(asked: LooseFlight) -> float:
    if asked.aim is not None:
        return asked.sortie.fields[asked.aim].amsl_m
    return asked.launch.amsl_m
