"""Around: a sounding laid over an area and some hours, its winds changing with place and time."""

import numpy as np

from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.arrays import FloatArray, SingleArray
from farglide.sortie.spec import Launch

KM_PER_DEG = 111.2


def around(sounding: Sounding, launch: Launch, east: float, later: float) -> WindGrid:
    """Return the sounding everywhere, but m/s stronger each 100 km to the east and each hour.

    Twice as much above 10 km as half-way up to it; the wind to the north half as much as that to
    the east.
    """
    lat_deg = launch.lat_deg + np.arange(-4.0, 4.01, 0.5)
    lon_deg = launch.lon_deg + np.arange(-6.0, 6.01, 0.5)
    after_h = np.arange(-1.0, 8.0)
    east_km = KM_PER_DEG * np.cos(np.radians(launch.lat_deg)) * (lon_deg - launch.lon_deg)
    shape = 1, len(after_h), len(sounding.p_pa), len(lat_deg), len(lon_deg)
    more = east * east_km / 100.0 + later * after_h[:, None, None, None]
    more = np.minimum(sounding.gph_m / 1e4, 1.0)[:, None, None] * more

    def field(level: FloatArray, off: FloatArray) -> SingleArray:
        values = np.broadcast_to(level[:, None, None] + off, shape)
        return np.ascontiguousarray(values, dtype=np.float32)

    return WindGrid(
        times_s=launch.t_s + 3600.0 * after_h, p_pa=sounding.p_pa, lat_deg=lat_deg,
        lon_deg=lon_deg, gph_m=field(sounding.gph_m, 0.0 * more),
        t_k=field(sounding.t_k, 0.0 * more), u_mps=field(sounding.u_mps, more),
        v_mps=field(sounding.v_mps, 0.5 * more),
    )  # fmt: skip
