"""Landing: how a rehearsed flight came down, beside how its release was decided."""

import numpy as np

from farglide.live.rehearse.ended import Flown
from farglide.live.rehearse.truth import Truth
from farglide.outlook.rehearsal import Landing
from farglide.rig.gear import goals_of
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.homing import OVER_M


def landing_of(truth: Truth, flown: Flown, n_turns: int) -> Landing:
    """Return by which field a flight lies, how far from it, and how much time it had in hand."""
    fields, path = truth.sortie.fields, flown.path
    goals, end = goals_of(truth.sortie, fields), path.at(path.end_s)
    here, frame = Offset(end.north_rad, end.east_rad), truth.air.scene.frame
    away_m = [
        float(np.hypot(*apart_m(frame, here, Offset(north_rad, east_rad))))
        for north_rad, east_rad in zip(goals.north_rad, goals.east_rad, strict=True)
    ]
    nearest = int(np.argmin(away_m))
    over_s = flown.low_s if np.isfinite(flown.low_s) else path.end_s
    return Landing(
        field=fields[nearest].name,
        away_m=away_m[nearest],
        is_on_field=away_m[nearest] < OVER_M,
        in_hand_s=truth.end_s - over_s,
        n_turns=n_turns,
    )
