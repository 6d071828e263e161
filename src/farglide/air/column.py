"""AirColumn: one profile of pressure, temperature, humidity and wind, cut into layers."""

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.air.doubt import WindDoubt
from farglide.air.layerdoubt import LayerDoubt, by_layer
from farglide.air.moist import _virtual_temperature_k
from farglide.air.standard import _sound_mps, _viscosity_pas, standard_air
from farglide.arrays import BoolArray, FloatArray
from farglide.constants import (
    AIR_GAS_CONSTANT_JPKGK,
    NOMINAL_EARTH_RADIUS_M,
    SEA_LEVEL_DENSITY_KGPM3,
    STANDARD_GRAVITY_MPS2,
)
from farglide.earth.heights import _gravity_mps2, geometric_at_m, geopotential_at_m
from farglide.earth.radii import _shortening_ratio
from farglide.errors import InputError

LAYER_M: Final = 100.0
"""Thickness of a layer: the fast forms step through these."""
TOP_AMSL_M: Final = 40_000.0
"""Where the columns end; latex balloons burst below."""
_LAPSE_KPM: Final = 0.0065  # ISO 2533:1975 table 1, lowest layer: used only below the lowest level


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
                raise InputError(name, f"{getattr(self, name)} deg", f"-{limit:g} to {limit:g} deg")
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


class Layers(NamedTuple):
    """The column as the kernels read it: values at the middle of each layer, lowest first.

    Winds are means over the layer. They carry a leading axis of places and times, of length 1 for
    one column: the one seam through which a later forecast grid is sampled.
    """

    base_amsl_m: float
    step_m: float
    p_pa: FloatArray
    t_k: FloatArray
    rho_kgpm3: FloatArray
    viscosity_pas: FloatArray
    sound_mps: FloatArray
    gravity_mps2: FloatArray
    shortening_ratio: FloatArray  # ground distance per distance flown at this height
    tas_per_eas: FloatArray  # 1 / sqrt(sigma)
    slowing_s2pm2: FloatArray  # (1 / 2g) d(1/sigma)/dh: times EAS squared = (V/g) dV/dh
    u_mps: FloatArray  # (1, n)
    v_mps: FloatArray  # (1, n)


class _MeanWind(NamedTuple):
    """The wind of each layer."""

    u_mps: FloatArray
    v_mps: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class AirColumn:
    """Layers of air over one place, the doubt about their winds, and where knowledge ends."""

    layers: Layers
    doubt: WindDoubt
    doubt_by_layer: LayerDoubt
    origin: str
    beyond_amsl_m: float  # top of the sounding: above it the column is an extension
    below_amsl_m: float  # bottom of the sounding: below it the column is an extension
    notes: tuple[str, ...] = ()

    @property
    def edges_amsl_m(self) -> FloatArray:
        """Return the heights of the layer edges, one more than layers."""
        n = len(self.layers.p_pa)
        edges: FloatArray = self.layers.base_amsl_m + self.layers.step_m * np.arange(n + 1.0)
        return edges

    @property
    def middles_amsl_m(self) -> FloatArray:
        """Return the heights of the middles of the layers."""
        half = np.arange(float(len(self.layers.p_pa))) + 0.5
        middles: FloatArray = self.layers.base_amsl_m + self.layers.step_m * half
        return middles


def build_column(sounding: Sounding, base_amsl_m: float, doubt: WindDoubt) -> AirColumn:
    """Return the layers from `base_amsl_m` (rounded down to a layer edge) to 40 km.

    Between levels temperature and wind are linear in geometric height and the pressure follows the
    hydrostatic law; a layer holds the mean wind over its thickness. Below the lowest level and
    above the highest the wind is kept, the temperature follows the standard lapse, the pressure the
    hydrostatic law, and the deep doubt widens to `doubt.beyond_mps` within its depth:
    never a silent zero wind.
    Valid: base -500 to 9000 m.
    """
    if not -500.0 <= base_amsl_m <= 9000.0:
        raise InputError("base_amsl_m", f"{base_amsl_m} m", "-500 to 9000 m")
    base_m = LAYER_M * np.floor(base_amsl_m / LAYER_M)
    n = round((TOP_AMSL_M - base_m) / LAYER_M)
    edges = base_m + LAYER_M * np.arange(n + 1.0)
    level_m = np.array([geometric_at_m(float(h), _latitude(sounding)) for h in sounding.gph_m])
    z, p, t, tv, u, v = _extended(sounding, level_m, float(edges[0]), float(edges[-1]))
    middle = 0.5 * (edges[1:] + edges[:-1])
    u_mean, v_mean = _layer_means(z, u, edges), _layer_means(z, v, edges)
    layers = _layers_of(
        middle,
        _pressures_pa(middle, z, p, tv),
        np.interp(middle, z, t),
        np.interp(middle, z, tv),
        _MeanWind(u_mean, v_mean),
    )
    return AirColumn(
        layers=layers,
        doubt=doubt,
        doubt_by_layer=by_layer(
            doubt, middle, np.hypot(u_mean, v_mean), level_m[_has_own_wind(sounding)]
        ),
        origin=sounding.origin,
        beyond_amsl_m=float(level_m[-1]),
        below_amsl_m=float(level_m[0]),
        notes=sounding.notes,
    )


def _has_own_wind(sounding: Sounding) -> BoolArray:
    """Tell which levels lie in no stretch over which winds were laid between others."""
    own = np.ones(len(sounding.gph_m), np.bool_)
    for low_m, high_m in sounding.windless_gph_m:
        own &= (sounding.gph_m <= low_m + 0.5) | (sounding.gph_m >= high_m - 0.5)
    return own


def _latitude(sounding: Sounding) -> float:
    return sounding.lat_deg if sounding.lat_deg == sounding.lat_deg else 45.0


def _extended(sounding: Sounding, level_m: FloatArray, low_m: float, high_m: float) -> FloatArray:
    """Return rows of z, p, T, virtual T, u, v on the levels and on what is added below and above.

    `level_m`: geometric heights of the levels; `low_m` and `high_m`: where it shall begin and end.
    """
    humid = np.minimum(np.nan_to_num(sounding.relative_humidity_ratio, nan=0.0), 1.0)
    p_pa, t_k = sounding.p_pa, sounding.t_k
    states = zip(t_k, p_pa, humid, strict=True)
    tv_k = np.array([_virtual_temperature_k(*state) for state in states])
    # NaN: colder than the vapour law knows, or so thin that the vapour alone would be all the air.
    # A humidity sensor that says so has failed, and such air is dry.
    tv_k = np.where(np.isnan(tv_k), t_k, tv_k)
    levels = np.array([level_m, p_pa, t_k, tv_k, sounding.u_mps, sounding.v_mps])
    if low_m < level_m[0]:
        levels = np.column_stack([_below(sounding, levels[:, 0], low_m), levels])
    if high_m > level_m[-1]:
        levels = np.hstack([levels, _above(sounding, levels[:, -1], high_m)])
    return levels


def _below(sounding: Sounding, lowest: FloatArray, low_m: float) -> FloatArray:
    """Return the level put below the lowest one."""
    z, p, t, tv, u, v = lowest
    warmer = _LAPSE_KPM * (z - low_m)
    deep = sounding.gph_m[0] - geopotential_at_m(low_m, _latitude(sounding))
    mean_k = _log_mean(tv + warmer, tv)
    p_low = p * np.exp(deep * STANDARD_GRAVITY_MPS2 / (AIR_GAS_CONSTANT_JPKGK * mean_k))
    return np.array([low_m, p_low, t + warmer, tv + warmer, u, v])


def _above(sounding: Sounding, highest: FloatArray, high_m: float) -> FloatArray:
    """Return the levels put above the highest one."""
    z, p, t, _, u, v = highest
    added_z = np.append(np.arange(z + 250.0, high_m, 250.0), high_m)
    gph = np.array([geopotential_at_m(float(h), _latitude(sounding)) for h in added_z])
    top_standard_k = standard_air(sounding.top_gph_m).t_k
    added_t = t + np.array([standard_air(float(h)).t_k for h in gph]) - top_standard_k
    added_t = np.clip(added_t, 180.0, 300.0)
    step = np.diff(gph, prepend=sounding.top_gph_m)
    mean_t = 0.5 * (added_t + np.concatenate([[t], added_t[:-1]]))
    hydrostatic = STANDARD_GRAVITY_MPS2 * step / (AIR_GAS_CONSTANT_JPKGK * mean_t)
    added_p = p * np.exp(-np.cumsum(hydrostatic))
    held = np.ones_like(added_z)
    return np.array([added_z, added_p, added_t, added_t, u * held, v * held])


def _log_mean(a: FloatArray | float, b: FloatArray | float) -> FloatArray:
    """Return the mean that turns a linear temperature into the hydrostatic law: (b-a) / ln(b/a)."""
    x = np.log(np.asarray(b) / a)
    nearly = np.abs(x) < 1e-6
    mean: FloatArray = np.where(
        nearly, 0.5 * (np.asarray(a) + b), a * np.expm1(x) / np.where(nearly, 1.0, x)
    )
    return mean


def _pressures_pa(
    middle_m: FloatArray, z_m: FloatArray, p_pa: FloatArray, tv_k: FloatArray
) -> FloatArray:
    """Return pressures between levels: hydrostatic with a linear temperature, through both levels.

    A plain exponential would be 1 % off in the middle of a gap of 5 km.
    """
    i = np.clip(np.searchsorted(z_m, middle_m, side="right") - 1, 0, len(z_m) - 2)
    rise, whole = middle_m - z_m[i], z_m[i + 1] - z_m[i]
    tv_here = tv_k[i] + (tv_k[i + 1] - tv_k[i]) * rise / whole
    lifted = (NOMINAL_EARTH_RADIUS_M + z_m[i + 1]) / (NOMINAL_EARTH_RADIUS_M + middle_m)
    rise_share = rise / whole * lifted  # of the geopotential between the levels
    share = rise_share * _log_mean(tv_k[i], tv_k[i + 1]) / _log_mean(tv_k[i], tv_here)
    pressures: FloatArray = p_pa[i] * (p_pa[i + 1] / p_pa[i]) ** share
    return pressures


def _layer_means(z_m: FloatArray, value: FloatArray, edges_m: FloatArray) -> FloatArray:
    """Return the mean over each layer of a value that is linear between levels."""
    knots = np.union1d(z_m, edges_m)
    at_knots = np.interp(knots, z_m, value)
    area = np.concatenate([[0.0], np.cumsum(0.5 * (at_knots[1:] + at_knots[:-1]) * np.diff(knots))])
    means: FloatArray = np.diff(np.interp(edges_m, knots, area)) / np.diff(edges_m)
    return means


def _layers_of(
    middle_m: FloatArray,
    p_pa: FloatArray,
    t_k: FloatArray,
    tv_k: FloatArray,
    wind: _MeanWind,
) -> Layers:
    rho = p_pa / (AIR_GAS_CONSTANT_JPKGK * tv_k)
    inverse_sigma = SEA_LEVEL_DENSITY_KGPM3 / rho
    g = np.array([_gravity_mps2(h) for h in middle_m])
    return Layers(
        base_amsl_m=float(middle_m[0] - 0.5 * LAYER_M),
        step_m=LAYER_M,
        p_pa=p_pa,
        t_k=t_k,
        rho_kgpm3=rho,
        viscosity_pas=np.array([_viscosity_pas(t) for t in t_k]),
        sound_mps=np.array([_sound_mps(t) for t in t_k]),
        gravity_mps2=g,
        shortening_ratio=np.array([_shortening_ratio(h) for h in middle_m]),
        tas_per_eas=np.sqrt(inverse_sigma),
        slowing_s2pm2=np.gradient(inverse_sigma, middle_m) / (2.0 * g),
        u_mps=np.ascontiguousarray(wind.u_mps[None, :]),
        v_mps=np.ascontiguousarray(wind.v_mps[None, :]),
    )
