"""Sounding: reported air, level by level, as it was measured or forecast."""

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.air.windgrid import WindGrid
from farglide.arrays import BoolArray, FloatArray
from farglide.errors import InputError


class Gap(NamedTuple):
    """A stretch of height without a reported wind, geopotential metres."""

    low_m: float
    high_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sounding:
    """Levels of air as reported, lowest first.

    `lat_deg`, `lon_deg`, `t_s` say where and when it was taken or is valid, NaN where the file does
    not say. `notes` count what the reader dropped or had to assume.
    """

    gph_m: FloatArray
    p_pa: FloatArray
    t_k: FloatArray
    relative_humidity_ratio: FloatArray  # NaN where unknown
    u_mps: FloatArray
    v_mps: FloatArray
    lat_deg: float
    lon_deg: float
    t_s: float
    origin: str
    notes: tuple[str, ...] = ()
    run_t_s: float = float("nan")  # when a forecast was made; NaN for a sounding
    elapsed_s: FloatArray | None = None
    lat_offset_deg: FloatArray | None = None
    lon_offset_deg: FloatArray | None = None
    windless_gph_m: tuple[Gap, ...] = ()  # stretches over which winds are laid between levels
    around: WindGrid | None = None  # the forecast it is one column of; None: it serves everywhere
    members: WindGrid | None = None  # an ensemble that tells how far it may be off

    def __post_init__(self) -> None:
        n = len(self.gph_m)
        if n < 3:
            raise InputError("levels", n, "3 or more", "A column cannot be made of fewer.")
        for name, low, high, unit in _RANGES:
            self._check(name, low, high, unit)
        for name in ("elapsed_s", "lat_offset_deg", "lon_offset_deg"):
            if getattr(self, name) is not None:
                self._check_length(name)
        for name, limit in (("lat_deg", 90.0), ("lon_deg", 360.0)):
            if abs(getattr(self, name)) > limit:
                raise InputError(name, f"{getattr(self, name)}°", f"-{limit:g} to {limit:g}°")
        self._check_steps("gph_m", np.diff(self.gph_m) > 0.0, "m", "higher")
        # Sampled every second or two, a rounded pressure may stand still or tremble.
        falls = np.diff(self.p_pa) <= _TREMBLE_RATIO * self.p_pa[1:]
        self._check_steps("p_pa", falls, "Pa", "lower")

    def _check(self, name: str, low: float, high: float, unit: str) -> None:
        self._check_length(name)
        values = getattr(self, name)
        bad = ~((values >= low) & (values <= high))
        if name == "relative_humidity_ratio":
            bad &= ~np.isnan(values)
        if bad.any():
            i = int(np.argmax(bad))
            raise InputError(
                f"{name} at level {i + 1}",
                f"{values[i]} {unit}".rstrip(),
                f"{low} to {high} {unit}".rstrip(),
            )

    def _check_length(self, name: str) -> None:
        n, n_here = len(self.gph_m), len(getattr(self, name))
        if n_here != n:
            raise InputError(name, f"{n_here} values", f"{n}, as many as gph_m")

    def _check_steps(self, name: str, right: BoolArray, unit: str, how: str) -> None:
        if not right.all():
            i = int(np.argmin(right)) + 1
            given = f"{getattr(self, name)[i]} {unit}"
            raise InputError(f"{name} at level {i + 1}", given, f"{how} than at the level before")

    @property
    def top_gph_m(self) -> float:
        """Return the geopotential height of the highest level."""
        return float(self.gph_m[-1])


_TREMBLE_RATIO: Final = 0.01
_RANGES: Final = (
    ("gph_m", -500.0, 90_000.0, "m"),
    ("p_pa", 0.1, 110_000.0, "Pa"),
    ("t_k", 150.0, 330.0, "K"),
    ("relative_humidity_ratio", 0.0, 1.2, ""),
    ("u_mps", -200.0, 200.0, "m/s"),
    ("v_mps", -200.0, 200.0, "m/s"),
)
