"""Hand after the release: what is told the other car in twelve words."""

import math
from typing import Final

import numpy as np

from farglide.earth.geodesy import destination
from farglide.earth.state import Place, place_at
from farglide.live.asked.hand import wind_class
from farglide.live.loosened.call import falling
from farglide.live.loosened.flight import LooseFlight
from farglide.outlook.after import Stage
from farglide.outlook.asked import HandNow
from farglide.track.handover.sentence import MOST_FIELDS, TICK_S, Common, HandedOver, spoken

_PHASES: Final = {
    Stage.DROPPED: "gliding",
    Stage.GLIDING: "gliding",
    Stage.TIED_ON: "falling",
    Stage.UNSTEERED: "lost",
    Stage.DOWN: "down",
}


def hand_after(asked: LooseFlight) -> HandNow:
    """Return the sentence for the other car, of the next moment that it can tell: up to 20 s on.

    It goes on until then on its way as advised, or falls on with the wind there.
    """
    launch, steer = asked.launch, asked.after.steer
    at_t_s = TICK_S * math.ceil(asked.now_t_s / TICK_S - 1e-9)
    at_s = at_t_s - launch.t_s
    place = place_then(asked, at_s)
    written = asked.told.written or asked.sortie
    names = [one.name for one in written.fields][:MOST_FIELDS]
    field = "" if steer is None or steer.field not in names else steer.field
    shuts_s = next(
        (one.shuts_after_launch_s for one in asked.advice.fields if one.name == field), None
    )
    told = HandedOver(
        lat_deg=place.lat_deg,
        lon_deg=place.lon_deg,
        amsl_m=place.amsl_m,
        at_t_s=at_t_s,
        phase=_PHASES.get(asked.advice.stage, "lost"),
        field=names.index(field) + 1 if field else 0,
        left_s=None if shuts_s is None else max(shuts_s - at_s, 0.0),
        wind=wind_class(asked.advice.air),
    )
    start = written.launch
    common = Common(start.lat_deg, start.lon_deg, place.lat_deg, place.lon_deg, at_t_s)
    return HandNow(
        after_launch_s=at_s,
        words=spoken(told, common),
        lat_deg=told.lat_deg,
        lon_deg=told.lon_deg,
        amsl_m=told.amsl_m,
        phase=told.phase,
        field=field,
        left_s=told.left_s,
        wind=told.wind,
    )


def place_then(asked: LooseFlight, at_s: float) -> Place:
    """Return where it is some seconds on, in the middle of what is believed."""
    stage, way, falls = asked.advice.stage, asked.way, asked.after.comes_down
    if stage in (Stage.GLIDING, Stage.DROPPED) and way is not None:
        path = way.passage
        high_m, north, east = (
            float(np.interp(at_s, path.after_s, one))
            for one in (path.amsl_m, path.north_rad, path.east_rad)
        )
        return place_at(asked.launch, north, east, high_m)
    if stage is Stage.DOWN or not falls:
        return asked.place
    down = falling(asked, falls[0].down_after_launch_s)
    high_m, wind = float(np.interp(at_s, down.after_s, down.amsl_m)), asked.wind(asked.place.amsl_m)
    gone = destination(
        asked.place, (wind.from_deg + 180.0) % 360.0, wind.mps * (at_s - asked.now_s)
    )
    return Place(lat_deg=gone.lat_deg, lon_deg=gone.lon_deg, amsl_m=high_m)
