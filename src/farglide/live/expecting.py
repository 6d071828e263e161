"""Expecting: where the plan has a balloon at a moment, for what is told modulo a distance."""

import math

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_deg
from farglide.track.typed.known import LastPlace


def expected(planned: Ensemble, t_s: float, last: LastPlace | None = None) -> LastPlace | None:
    """Return where the middle draw of a plan is at a moment, UTC, still carried.

    Moved by as much as it was off the last place that is known. None before the launch, and from
    when half of the draws have burst.
    """
    there = _middle(planned, t_s)
    then = None if last is None else _middle(planned, last.t_s)
    if there is None or last is None or then is None:
        return there
    return LastPlace(
        lat_deg=there.lat_deg + last.lat_deg - then.lat_deg,
        lon_deg=there.lon_deg + last.lon_deg - then.lon_deg,
        amsl_m=there.amsl_m,
        t_s=t_s,
    )


def _middle(planned: Ensemble, t_s: float) -> LastPlace | None:
    tracks, launch = planned.climbs.tracks, planned.sortie.launch
    k = round((t_s - launch.t_s) / tracks.step_s)
    if not 0 <= k < tracks.amsl_m.shape[1]:
        return None
    rows = [one[:, k] for one in (tracks.amsl_m, tracks.north_rad, tracks.east_rad)]
    if np.isnan(rows[0]).mean() > 0.5:
        return None
    amsl_m, north_rad, east_rad = (float(np.nanmedian(one)) for one in rows)
    lat_deg, lon_deg = place_deg(launch, north_rad, east_rad)
    if not math.isfinite(lat_deg):
        return None
    return LastPlace(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m, t_s=t_s)
