"""A polar from timed glides: zero-lift drag and span efficiency, each with its doubt."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.constants import (
    SEA_LEVEL_DENSITY_KGPM3,
    SEA_LEVEL_TEMPERATURE_K,
    STANDARD_GRAVITY_MPS2,
    SUTHERLAND_BETA_KGPMSK05,
    SUTHERLAND_TEMPERATURE_K,
)
from farglide.errors import ContradictionError, InputError, check_range

LEAST_GLIDES: Final = 3  # two numbers are fitted; the third glide shows how well
# The fastest glide must be this much faster than the slowest: below, a few per cent of stopwatch
# error drown the difference in drag.
LEAST_SPEED_RATIO: Final = 1.1
# Half a second in twenty and a metre in sixty: no glide timed by hand tells its drag better,
# however well three happen to fit a line (common practice, no source).
LEAST_DOUBT_RATIO: Final = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class TimedGlide:
    """One straight glide at a steady speed in calm air.

    Give either the distance over the ground or the equivalent airspeed.
    """

    height_lost_m: float
    duration_s: float
    distance_m: float | None = None
    eas_mps: float | None = None
    air_kgpm3: float = SEA_LEVEL_DENSITY_KGPM3

    def __post_init__(self) -> None:
        uphill = "A glide in calm air loses height: leave this one out."
        check_range("height_lost_m", self.height_lost_m, "m", (0.1, 40_000.0), uphill)
        check_range("duration_s", self.duration_s, "s", (0.5, 36_000.0))
        check_range("air_kgpm3", self.air_kgpm3, "kg/m3", (0.001, 2.0))
        if (self.distance_m is None) == (self.eas_mps is None):
            given = "both" if self.eas_mps is not None else "neither"
            raise InputError("distance_m and eas_mps", given, "just one of the two")
        if self.distance_m is not None:
            check_range("distance_m", self.distance_m, "m", (0.1, 1.0e6))
        if self.eas_mps is not None:
            check_range("eas_mps", self.eas_mps, "m/s", (0.5, 200.0))
        if self.sink_mps >= self.tas_mps:
            raise ContradictionError(
                f"sink is {self.sink_mps:.2f} m/s and airspeed {self.tas_mps:.2f} m/s: no glide "
                "sinks faster than it flies.",
                "Check height, duration and airspeed.",
            )

    @property
    def sink_mps(self) -> float:
        """Return the height lost per second."""
        return self.height_lost_m / self.duration_s

    @property
    def tas_mps(self) -> float:
        """Return the true airspeed along the path."""
        if self.eas_mps is not None:
            return self.eas_mps * math.sqrt(SEA_LEVEL_DENSITY_KGPM3 / self.air_kgpm3)
        return math.hypot((self.distance_m or 0.0) / self.duration_s, self.sink_mps)


@dataclass(frozen=True, slots=True, kw_only=True)
class WingMeasures:
    """What the scale and the ruler say."""

    mass_kg: float
    area_m2: float
    aspect_ratio: float

    def __post_init__(self) -> None:
        check_range("mass_kg", self.mass_kg, "kg", (0.01, 1000.0), "Give kilograms.")
        check_range("area_m2", self.area_m2, "m2", (0.005, 100.0), "Give square metres.")
        check_range("aspect_ratio", self.aspect_ratio, "", (0.5, 60.0), "This is span^2 / area.")


@dataclass(frozen=True, slots=True, kw_only=True)
class PolarFit:
    """C_D = C_D0 + k C_L^2 as fitted, with one-standard-deviation doubts.

    The drag belongs to the Reynolds number `reynolds` on the mean chord; thinner air has more.
    With three glides the doubts are themselves rough: one degree of freedom.
    """

    zero_lift_drag: float
    zero_lift_drag_sd: float
    lift_drag_factor: float  # k
    lift_drag_factor_sd: float
    covariance: float  # of C_D0 and k
    span_efficiency: float
    span_efficiency_sd: float
    reynolds: float  # mean over the glides

    @property
    def best_glide_sd_ratio(self) -> float:
        """Return the doubt about the largest L/D as a share of it, the covariance included."""
        drag = self.zero_lift_drag_sd / self.zero_lift_drag
        factor = self.lift_drag_factor_sd / self.lift_drag_factor
        both = self.covariance / (self.zero_lift_drag * self.lift_drag_factor)
        return 0.5 * math.sqrt(max(drag**2 + factor**2 + 2.0 * both, 0.0))


def fit_polar(glides: Sequence[TimedGlide], wing: WingMeasures) -> PolarFit:
    """Return the polar that fits three or more timed glides best.

    Each glide gives C_L and C_D by the exact balance of a steady glide: sin(angle) = sink / V,
    lift = W cos(angle), drag = W sin(angle). Least squares on C_D = C_D0 + k C_L^2, each glide
    weighed by 1 / C_D^2, since stopwatch and height err by a share of the sink. The doubt comes
    from how far the glides miss the line, by 3 % at least; an error they share (a slope, a wind)
    stays hidden.
    Source: parabolic polar, k = 1 / (pi aspect ratio e).
    """
    if len(glides) < LEAST_GLIDES:
        remedy = "Time glides at three speeds: slow, middling, fast."
        raise InputError("glides", f"{len(glides)} glides", f"{LEAST_GLIDES} or more", remedy)
    speeds_mps = [glide.tas_mps * math.sqrt(glide.air_kgpm3) for glide in glides]
    if max(speeds_mps) < LEAST_SPEED_RATIO * min(speeds_mps):
        raise ContradictionError(
            f"the fastest glide is only {max(speeds_mps) / min(speeds_mps):.2f} times as fast as "
            f"the slowest: below {LEAST_SPEED_RATIO:g} no polar can be told.",
            "Time a slower and a faster glide.",
        )
    squared_lift, drag = _coefficients(glides, wing)
    (zero_lift_drag, k), covariance = _weighted_line(squared_lift, drag)
    _check_polar(zero_lift_drag, k)
    sd_zero, sd_k = np.sqrt(np.diag(covariance))
    span_efficiency = 1.0 / (math.pi * wing.aspect_ratio * k)
    return PolarFit(
        zero_lift_drag=zero_lift_drag,
        zero_lift_drag_sd=float(sd_zero),
        lift_drag_factor=k,
        lift_drag_factor_sd=float(sd_k),
        covariance=float(covariance[0, 1]),
        span_efficiency=span_efficiency,
        span_efficiency_sd=span_efficiency * float(sd_k) / k,
        reynolds=_mean_reynolds(glides, wing),
    )


def _coefficients(
    glides: Sequence[TimedGlide], wing: WingMeasures
) -> tuple[FloatArray, FloatArray]:
    """Return C_L^2 and C_D of each glide."""
    tas = np.array([glide.tas_mps for glide in glides])
    sine = np.array([glide.sink_mps for glide in glides]) / tas
    air = np.array([glide.air_kgpm3 for glide in glides])
    weight_coefficient = wing.mass_kg * STANDARD_GRAVITY_MPS2 / (0.5 * air * tas**2 * wing.area_m2)
    return weight_coefficient**2 * (1.0 - sine**2), weight_coefficient * sine


def _weighted_line(x: FloatArray, y: FloatArray) -> tuple[tuple[float, float], FloatArray]:
    """Return intercept and slope, and their covariance."""
    design = np.column_stack([np.ones_like(x), x]) / y[:, np.newaxis]
    normal = np.linalg.inv(design.T @ design)
    intercept, slope = normal @ design.T @ np.ones_like(y)
    misfit = 1.0 - design @ np.array([intercept, slope])
    scatter = float(misfit @ misfit) / (len(y) - 2)
    covariance = np.asarray(normal * max(scatter, LEAST_DOUBT_RATIO**2), dtype=np.float64)
    return (float(intercept), float(slope)), covariance


def _check_polar(zero_lift_drag: float, k: float) -> None:
    advice = "Check heights, durations and speeds; leave out glides in rising or sinking air."
    if zero_lift_drag <= 0.0:
        raise ContradictionError(
            f"the glides contradict a polar: zero-lift drag would be {zero_lift_drag:.4f}, but it "
            "must be above 0. The fast glides sink too little.",
            advice,
        )
    if k <= 0.0:
        raise ContradictionError(
            f"the glides contradict a polar: drag would not grow with lift (k {k:.4f}, must be "
            "above 0). The slow glides sink too little.",
            advice,
        )


def _mean_reynolds(glides: Sequence[TimedGlide], wing: WingMeasures) -> float:
    """Return the mean Reynolds number on the chord area / span, viscosity as at 15 C."""
    warmth = SEA_LEVEL_TEMPERATURE_K
    viscosity_pas = (
        SUTHERLAND_BETA_KGPMSK05 * math.pow(warmth, 1.5) / (warmth + SUTHERLAND_TEMPERATURE_K)
    )
    chord_m = math.sqrt(wing.area_m2 / wing.aspect_ratio)
    flows = [glide.air_kgpm3 * glide.tas_mps for glide in glides]
    return sum(flows) / len(flows) * chord_m / viscosity_pas
