"""Drift: where reported winds carry a balloon, over the same earth as planned flights."""

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.radii import _shortening_ratio
from farglide.earth.state import Place, wrapped_lon_deg
from farglide.errors import InputError
from farglide.kernel import compiled
from farglide.sim.core.step import Frame, Offset, _moved, frame_of


@compiled
def _drift(
    frame: Frame, t_s: FloatArray, amsl_m: FloatArray, u_mps: FloatArray, v_mps: FloatArray
) -> Offset:
    at = Offset(0.0, 0.0)
    for k in range(1, len(t_s)):
        step_s = t_s[k] - t_s[k - 1]
        ground = _shortening_ratio(0.5 * (amsl_m[k] + amsl_m[k - 1]))
        east_m = 0.5 * (u_mps[k] + u_mps[k - 1]) * step_s * ground
        north_m = 0.5 * (v_mps[k] + v_mps[k - 1]) * step_s * ground
        at = _moved(frame, at, east_m, north_m)
    return at


def drift_place(
    start: Place, t_s: FloatArray, amsl_m: FloatArray, u_mps: FloatArray, v_mps: FloatArray
) -> tuple[float, float]:
    """Return latitude and longitude, in degrees, to which winds carry a thing from a place.

    `t_s` are rising moments at which it was `amsl_m` high in a wind of `u_mps`, `v_mps`. Between
    two of them it moves with the mean of both winds, shortened to the ground below it.
    Valid: 85 S to 85 N, within 300 km of the start.
    """
    n = len(t_s)
    for name, values in (("amsl_m", amsl_m), ("u_mps", u_mps), ("v_mps", v_mps)):
        if len(values) != n:
            raise InputError(name, f"{len(values)} values", f"{n}, as many as t_s")
        if not np.isfinite(values).all():
            raise InputError(name, "not a number in places", "numbers throughout")
    if n < 2 or not (np.diff(t_s) > 0.0).all():
        raise InputError("t_s", f"{n} moments", "2 or more, each later than the one before")
    if abs(start.lat_deg) > 85.0:
        raise InputError("start", f"{start.lat_deg}° latitude", "-85 to 85°")
    frame = frame_of(start.lat_deg, start.lon_deg)
    to = _drift(frame, t_s, amsl_m, u_mps, v_mps)
    lat_deg = start.lat_deg + float(np.degrees(to.north_rad))
    return lat_deg, wrapped_lon_deg(start.lon_deg + float(np.degrees(to.east_rad)))
