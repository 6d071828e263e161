"""Model levels: their pressures and heights, and the same air on levels of pressure."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    SEA_LEVEL_PRESSURE_PA,
    STANDARD_GRAVITY_MPS2,
    WATER_TO_AIR_MOLAR_RATIO,
)
from farglide.sources.files import refused

_SCALE_MPK: Final = AIR_GAS_CONSTANT_JPKGK / STANDARD_GRAVITY_MPS2  # 29.27 m of height per kelvin
_VIRTUAL: Final = 1.0 / WATER_TO_AIR_MOLAR_RATIO - 1.0  # 0.608
_SAME_PRESSURE: Final = 1e-6  # a level that does not bend with the ground, through float32


@dataclass(frozen=True, slots=True, kw_only=True)
class HybridLevels:
    """Model levels from the lowest up; the pressure at the half level below level k is a + b ps.

    `a_pa` and `b` have one more than there are levels: from under the lowest to above the highest.
    """

    a_pa: FloatArray
    b: FloatArray

    def half_pa(self, ground_pa: FloatArray) -> FloatArray:
        """Return the pressures of the half levels over these grounds, (n_levels + 1, ...)."""
        shape = (-1,) + (1,) * ground_pa.ndim
        return np.asarray(self.a_pa.reshape(shape) + self.b.reshape(shape) * ground_pa)

    @property
    def standard_pa(self) -> FloatArray:
        """Return the pressures of the full levels over a ground at 101 325 Pa."""
        return full_pa(self.half_pa(np.array(SEA_LEVEL_PRESSURE_PA)))


def hybrid_levels(
    path: Path | str, coefficients: tuple[float, ...], numbers: tuple[float, ...]
) -> HybridLevels:
    """Return the levels of these numbers, lowest first.

    Raises unless they go up without a gap from the lowest of the model: heights are a sum from the
    ground. `coefficients` are all a, then all b, from the top down.
    """
    n = len(coefficients) // 2 - 1
    if n < 1 or len(coefficients) % 2:
        what = "is on model levels but tells no coefficients of their pressures."
        remedy = "Fetch it on pressure levels, or with these (in GRIB the list 'pv')."
        raise refused(path, what, remedy)
    if numbers != tuple(float(n - k) for k in range(len(numbers))):
        what = (
            f"has the model levels {numbers[-1]:g} to {numbers[0]:g} of {n}, not all from {n} up."
        )
        remedy = f"Fetch all levels from {n} (the lowest) up: heights are summed from the ground."
        raise refused(path, what, remedy)
    a_pa, b = np.array(coefficients[: n + 1])[::-1], np.array(coefficients[n + 1 :])[::-1]
    taken = slice(0, len(numbers) + 1)
    levels = HybridLevels(a_pa=a_pa[taken], b=b[taken])
    standard = levels.half_pa(np.array(SEA_LEVEL_PRESSURE_PA))
    if not (np.isfinite(standard).all() and (np.diff(standard) < 0.0).all()):
        what = "has coefficients of model levels whose pressures do not fall upwards."
        raise refused(path, what, "Fetch it again, as binary.")
    return levels


def full_pa(half_pa: FloatArray) -> FloatArray:
    """Return the pressures of full levels: the mean of the half levels below and above.

    Source: ECMWF, IFS documentation part III, eq. 2.11 to 2.13 (from memory).
    """
    return np.asarray(0.5 * (half_pa[:-1] + half_pa[1:]))


def heights_gpm(half_pa: FloatArray, virtual_k: FloatArray, ground_gpm: FloatArray) -> FloatArray:
    """Return the geopotential heights of full levels, summed from the ground.

    Source: ECMWF, IFS documentation part III, eq. 2.21 to 2.23 (from memory): a layer is
    R Tv ln(p below / p above) thick; its full level lies alpha R Tv above the half level below it,
    alpha = 1 - p_above / (p_below - p_above) ln(p_below / p_above), and ln 2 where p_above is 0.
    """
    below, above = half_pa[:-1], half_pa[1:]
    top = above <= 0.0
    ratio_log = np.log(below / np.where(top, below, above))
    alpha = 1.0 - above / (below - above) * ratio_log
    alpha = np.where(top, np.log(2.0), alpha)
    thick = _SCALE_MPK * virtual_k * ratio_log
    half_gpm = ground_gpm + np.concatenate(
        [np.zeros_like(thick[:1]), np.cumsum(thick, axis=0)[:-1]]
    )
    return np.asarray(half_gpm + alpha * _SCALE_MPK * virtual_k)


def virtual_k(t_k: SingleArray, q_ratio: SingleArray | None) -> FloatArray:
    """Return the virtual temperature of moist air, T (1 + (Rv/Rd - 1) q); of dry air T."""
    warm = t_k.astype(np.float64)
    return warm if q_ratio is None else warm * (1.0 + _VIRTUAL * q_ratio)


def at_pressures(
    p_pa: FloatArray, planes: dict[str, FloatArray], wanted_pa: FloatArray
) -> dict[str, SingleArray]:
    """Return planes on model levels of the pressures `p_pa` (falling) at other pressures.

    Linear in the logarithm of pressure; NaN below the lowest and above the highest level. Shapes
    are (n_levels, n_rows, n_columns).
    """
    found = {
        name: np.full((len(wanted_pa), *p_pa.shape[1:]), np.nan, np.float32) for name in planes
    }
    x = np.log(p_pa)
    for k, wanted in enumerate(np.log(wanted_pa)):
        n_before = (x >= wanted - _SAME_PRESSURE).sum(axis=0)
        low = np.clip(n_before - 1, 0, len(p_pa) - 2)[None]
        first, second = (np.take_along_axis(x, at, 0)[0] for at in (low, low + 1))
        weight = (first - wanted) / (first - second)
        outside = (weight < -_OUTSIDE) | (weight > 1.0 + _OUTSIDE)
        for name, plane in planes.items():
            a, b = (np.take_along_axis(plane, at, 0)[0] for at in (low, low + 1))
            mixed = np.where(weight > 0.0, a + weight * (b - a), a)
            found[name][k] = np.where(outside, np.nan, mixed)
    return found


_OUTSIDE: Final = 1e-4
"""Of the step between two levels: what float32 makes of a level that is the wanted one."""
