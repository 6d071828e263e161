"""WindGrid: forecast air over an area and some hours, as the forecast tells it."""

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray, SingleArray
from farglide.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WindGrid:
    """Air on pressure levels over a regular grid, at one or more times, of one or more members.

    Fields have the shape (n_members, n_times, n_levels, n_rows, n_columns), float32. Levels rise
    (pressures fall), rows go north, columns east; longitudes run on past 180 where the grid crosses
    that meridian. NaN is a value that the forecast does not tell. `notes` say what the reader left
    out or had to assume; `licence` and `attribution` are the producer's.
    """

    times_s: FloatArray  # (n_times,), UTC seconds since 1970 at which it is valid, rising
    p_pa: FloatArray  # (n_levels,)
    lat_deg: FloatArray  # (n_rows,), evenly spaced
    lon_deg: FloatArray  # (n_columns,), evenly spaced
    gph_m: SingleArray
    t_k: SingleArray
    u_mps: SingleArray
    v_mps: SingleArray
    relative_humidity_ratio: SingleArray | None = None  # None: not told
    members: tuple[str, ...] = ("control",)
    run_t_s: float = float("nan")  # when the forecast was made
    origin: str = ""
    licence: str = ""
    attribution: str = ""
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for name, sign in _AXES:
            self._check_axis(name, sign)
        for name in ("lat_deg", "lon_deg"):
            self._check_even(name)
        for name in FIELDS:
            values = getattr(self, name)
            if values is None and name in _OPTIONAL:
                continue
            if values.shape != self.shape or values.dtype != np.float32:
                told = f"{values.dtype} of the shape {values.shape}"
                raise InputError(name, told, f"float32 of the shape {self.shape}")
        if abs(self.lat_deg).max() > 90.0:
            raise InputError("lat_deg", f"{abs(self.lat_deg).max():g}°", "-90 to 90°")

    @property
    def shape(self) -> tuple[int, ...]:
        """Return how many members, times, levels, rows and columns there are."""
        axes = (self.members, self.times_s, self.p_pa, self.lat_deg, self.lon_deg)
        return tuple(len(axis) for axis in axes)

    def holds(self, lat_deg: float, lon_deg: float) -> bool:
        """Tell whether a place lies between its points; one round the earth has no side."""
        step_deg = self.lon_deg[1] - self.lon_deg[0]
        width_deg = self.lon_deg[-1] - self.lon_deg[0]
        closed = width_deg + 1.5 * step_deg > 360.0
        inside = self.lat_deg[0] <= lat_deg <= self.lat_deg[-1]
        return bool(inside and (closed or (lon_deg - self.lon_deg[0]) % 360.0 <= width_deg))

    def _check_axis(self, name: str, sign: float) -> None:
        values = getattr(self, name)
        if values.ndim != 1 or not len(values):
            raise InputError(name, f"shape {values.shape}", "a row of one value or more")
        if not (np.isfinite(values).all() and (sign * np.diff(values) > 0.0).all()):
            allowed = "rising values" if sign > 0.0 else "falling values"
            raise InputError(name, np.array2string(values, threshold=6), allowed)

    def _check_even(self, name: str) -> None:
        steps = np.diff(getattr(self, name))
        if len(steps) < 1:
            raise InputError(name, "one point", "two points or more")
        if np.ptp(steps) > _UNEVEN_RATIO * steps.mean():
            told = f"steps of {steps.min():g} to {steps.max():g}°"
            raise InputError(name, told, "even steps")


def mean_of_members(grid: WindGrid) -> WindGrid:
    """Return the mean of all members as one; a forecast of one member as it is."""
    n = len(grid.members)
    if n == 1:
        return grid
    means: dict[str, Any] = {
        name: one.mean(axis=0, dtype=np.float64)[None].astype(np.float32)
        for name in FIELDS
        if (one := getattr(grid, name)) is not None
    }
    return replace(grid, members=(f"mean of {n}",), **means)


FIELDS: Final = ("gph_m", "t_k", "u_mps", "v_mps", "relative_humidity_ratio")
"""The fields of a grid, by name."""
_OPTIONAL: Final = ("relative_humidity_ratio",)
_AXES: Final = (("times_s", 1.0), ("p_pa", -1.0), ("lat_deg", 1.0), ("lon_deg", 1.0))
_UNEVEN_RATIO: Final = 1e-3
"""Files round their degrees to a millionth."""


def told(grid: WindGrid) -> BoolArray:
    """Return which points of which levels have height, temperature and both winds.

    Shape as that of the fields.
    """
    whole = np.isfinite(grid.gph_m) & np.isfinite(grid.t_k)
    return np.asarray(whole & np.isfinite(grid.u_mps) & np.isfinite(grid.v_mps))
