"""Dropsondes: real falls under a small parachute, from 7 to 15 km down to the sea."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from bench.odds.fetch import DROPSONDES, files_of
from farglide.arrays import FloatArray
from farglide.constants import AIR_GAS_CONSTANT_JPKGK

NO_FREE_FALL: Final = ("D20240811_173838QC.nc",)
"""A record that is no fall under an open parachute."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """A fall by time: heights above the ellipsoid and the density of the air."""

    name: str
    t_s: FloatArray
    hae_m: FloatArray
    rho_kgpm3: FloatArray


def dropsondes() -> tuple[Fall, ...]:
    """Return the falls of the open set."""
    import netCDF4

    found = []
    for path in files_of(DROPSONDES):
        if path.name in NO_FREE_FALL:
            continue
        with netCDF4.Dataset(str(path)) as dataset:
            t_s, p_pa, t_k, hae_m = (
                _filled(dataset, name) * factor + offset
                for name, factor, offset in (
                    ("time", 1.0, 0.0), ("pres", 100.0, 0.0), ("tdry", 1.0, 273.15),
                    ("gpsalt", 1.0, 0.0),
                )
            )  # fmt: skip
        known = np.isfinite(t_s + p_pa + t_k + hae_m)
        if known.sum() < 100:
            continue
        rho = p_pa[known] / (AIR_GAS_CONSTANT_JPKGK * t_k[known])
        order = np.argsort(t_s[known], kind="stable")
        columns = t_s[known][order], hae_m[known][order], rho[order]
        found.append(Fall(name=path.stem, t_s=columns[0], hae_m=columns[1], rho_kgpm3=columns[2]))
    return tuple(found)


def _filled(dataset: Any, name: str) -> FloatArray:
    values = np.ma.filled(dataset[name][:].astype(np.float64), np.nan)
    return np.where(np.abs(values) > 99_000.0, np.nan, values)
