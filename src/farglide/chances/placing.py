"""Placing: where the draws have a balloon at a moment, and how far they are apart."""

from typing import Final

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.onward import Seen
from farglide.earth.state import place_deg
from farglide.outlook.advice import PlaceNow
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m

_SAME_RAD: Final = 1e-9  # 6 mm


def place_now(ensemble: Ensemble, states: States, seen: Seen) -> PlaceNow:
    """Return where the middle draw is at the first moment, and how far from it the others are."""
    frame = ensemble.air.scene.frame
    rows = (one[:, 0] for one in (states.north_rad, states.east_rad))
    north_rad, east_rad = (one[np.isfinite(one)] for one in rows)
    middle = Offset(float(np.median(north_rad)), float(np.median(east_rad)))
    away_m = [0.0]
    if max(np.ptp(north_rad), np.ptp(east_rad)) > _SAME_RAD:  # else all of them are at a fix
        away_m = [
            np.hypot(*apart_m(frame, middle, Offset(north, east)))
            for north, east in zip(north_rad.tolist(), east_rad.tolist(), strict=True)
        ]
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, *middle)
    half_m, most_m = np.quantile(away_m, [0.5, 0.9])
    return PlaceNow(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=float(np.nanmedian(states.amsl_m[:, 0])),
        half_within_m=float(half_m),
        most_within_m=float(most_m),
        seen_after_launch_s=seen.told_s[0],
        height_seen_after_launch_s=seen.told_s[1],
    )
