"""Soundings with winds that are known, for the tests of the bench."""

import numpy as np

from bench.odds.data import Flown
from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.arrays import FloatArray

LEVELS_M = np.arange(0.0, 30_001.0, 100.0)
_AIR = [standard_air(float(h)) for h in LEVELS_M]
_P_PA, _T_K = np.array([one.p_pa for one in _AIR]), np.array([one.t_k for one in _AIR])


def flown(
    u_mps: FloatArray | float, v_mps: FloatArray | float = 0.0, t_h: float = 0.0, lat: float = 0.0
) -> Flown:
    """Return a sounding of the standard air with these winds, each 100 m, on the zero meridian."""
    n = len(LEVELS_M)
    sounding = Sounding(
        gph_m=LEVELS_M,
        p_pa=_P_PA,
        t_k=_T_K,
        relative_humidity_ratio=np.full(n, np.nan),
        u_mps=np.broadcast_to(np.asarray(u_mps, np.float64), n).copy(),
        v_mps=np.broadcast_to(np.asarray(v_mps, np.float64), n).copy(),
        lat_deg=lat,
        lon_deg=0.0,
        t_s=3600.0 * t_h,
        origin="made up",
    )
    return Flown(sounding=sounding, campaign="made up")
