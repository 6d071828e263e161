"""Polar: sink and horizontal speed of a gliding point mass against airspeed at any density."""

from typing import Final, NamedTuple

import numpy as np

from farglide.constants import SEA_LEVEL_DENSITY_KGPM3
from farglide.errors import InputError
from farglide.glider.wing import Polar
from farglide.kernel import compiled, inner, merged, merged_law

_NEVER: Final = 1e12
SLOWEST_LIFT_SHARE: Final = 0.8
"""Steady glides keep C_L at or below this share of the stall's: common practice, no source."""


class GlideAir(NamedTuple):
    """The air around a glider at one height."""

    rho_kgpm3: float
    viscosity_pas: float
    tas_per_eas: float
    slowing_s2pm2: float = 0.0
    gravity_ratio: float = 1.0


class Factors(NamedTuple):
    """What makes the drag or the weight of a glide other than the polar's own."""

    glide: float  # drag is divided by it
    load: float  # in a turn
    gravity: float  # over standard
    slowing: float  # r = (V/g) dV/dh


class Winds(NamedTuple):
    """How the air moves along a way, and what a second is worth on it."""

    tail_mps: float
    cross_mps: float
    up_mps: float
    price_mps: float  # metres a second: see `sim.reach`


class EasBand(NamedTuple):
    """Between which EAS a glider may fly."""

    slowest_mps: float
    fastest_mps: float


class Steady(NamedTuple):
    """One steady glide: true speeds over level ground and downward."""

    level_mps: float
    sink_mps: float


@compiled
def polar_stall_eas_mps(polar: Polar) -> float:
    """Return the EAS of one-g flight at the largest lift coefficient. Source: lift = weight.

    >>> from farglide.glider.wing import Wing, polar_of
    >>> round(polar_stall_eas_mps(polar_of(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034))), 2)
    8.98
    """
    lifted_kgpm = SEA_LEVEL_DENSITY_KGPM3 * polar.area_m2 * polar.lift_max
    return np.sqrt(2.0 * polar.weight_n / lifted_kgpm)


@compiled
def _slowest_eas(polar: Polar) -> float:
    return polar_stall_eas_mps(polar) / np.sqrt(SLOWEST_LIFT_SHARE)


@inner
def _fastest_eas(
    top_eas_mps: float, top_mach: float, sound_mps: float, tas_per_eas: float
) -> float:
    """Return the EAS that keeps both the structure's and the Mach limit."""
    return min(top_eas_mps, top_mach * sound_mps / tas_per_eas)


@merged
def _zero_lift(polar: Polar, flow_kgpm2s: float, viscosity_pas: float) -> float:
    """Return C_D0 in a flow of this density times speed."""
    ratio = polar.reference_reynolds * viscosity_pas / (flow_kgpm2s * polar.chord_m)
    if ratio <= 1.0:
        return polar.zero_lift_drag
    return polar.zero_lift_drag * ratio**polar.reynolds_exponent


@merged
def _glide_sine(polar: Polar, eas_mps: float, zero_lift: float, factors: Factors) -> float:
    """Return the sine of a glide's angle below the horizon at a constant EAS.

    A descent at constant EAS loses true airspeed, whose energy feeds the glide: with
    r = (V/g) dV/dh, D = W (1 + r) sin g. With L = n W cos g, a = q S C_D0 / W and
    b = k W n^2 / (q S) the balance is b x^2 + (1 + r) x - (a + b) = 0.
    Where drag exceeds weight the glide is a dive.
    Source: the quadratic polar put into the balance of forces; exact at any angle.
    """
    glide_factor, load, gravity, slowing = factors
    q_area = 0.5 * SEA_LEVEL_DENSITY_KGPM3 * eas_mps * eas_mps * polar.area_m2
    weight_n = polar.weight_n * gravity
    per_lift = 1.0 / (q_area * weight_n * glide_factor)  # one division: this is the hottest law
    a = q_area * q_area * zero_lift * per_lift
    b = polar.induced_drag * (load * weight_n) * (load * weight_n) * per_lift
    c = 1.0 + slowing
    x = 2.0 * (a + b) / (c + np.sqrt(c * c + 4.0 * b * (a + b)))
    return min(x, 1.0)


@merged_law
def _steady(
    polar: Polar, eas_mps: float, air: GlideAir, glide_factor: float, load: float
) -> tuple[float, float]:
    """Return level speed and sink at a constant EAS and load factor."""
    rho_kgpm3, viscosity_pas, tas_per_eas, slowing_s2pm2, gravity = air
    tas_mps = eas_mps * tas_per_eas
    zero_lift = _zero_lift(polar, rho_kgpm3 * tas_mps, viscosity_pas)
    slowing = slowing_s2pm2 * eas_mps * eas_mps
    sine = _glide_sine(polar, eas_mps, zero_lift, Factors(glide_factor, load, gravity, slowing))
    return tas_mps * np.sqrt(1.0 - sine * sine), tas_mps * sine


@compiled
def _best_eas(
    polar: Polar, air: GlideAir, band: EasBand, glide_factor: float, winds: Winds
) -> float:
    """Return the EAS of a band that carries farthest per height lost on a straight track.

    The maximum of (sqrt(V_h^2 - cross^2) + tail - price) / (sink - up), by golden section over the
    scan's best cell; the fastest where none keeps the track.
    """
    low, high = band.slowest_mps, band.fastest_mps
    n = 24
    best, best_j = -np.inf, 0
    for j in range(n + 1):
        value = _made_good(polar, low + (high - low) * j / n, air, glide_factor, winds)
        if value > best:
            best, best_j = value, j
    a = low + (high - low) * max(best_j - 1, 0) / n
    b = low + (high - low) * min(best_j + 1, n) / n
    golden = 0.6180339887498949
    c, d = b - golden * (b - a), a + golden * (b - a)
    fc = _made_good(polar, c, air, glide_factor, winds)
    fd = _made_good(polar, d, air, glide_factor, winds)
    while b - a > 1e-4:
        if fc > fd:
            b, d, fd = d, c, fc
            c = b - golden * (b - a)
            fc = _made_good(polar, c, air, glide_factor, winds)
        else:
            a, c, fc = c, d, fd
            d = a + golden * (b - a)
            fd = _made_good(polar, d, air, glide_factor, winds)
    return 0.5 * (a + b)


@inner
def _made_good(
    polar: Polar, eas_mps: float, air: GlideAir, glide_factor: float, winds: Winds
) -> float:
    """Return distance made good per height lost; air that rises faster than the sink gives inf.

    What does not keep the track makes good the less the slower it is.
    """
    tail_mps, cross_mps, up_mps, price_mps = winds
    level_mps, sink_mps = _steady(polar, eas_mps, air, glide_factor, 1.0)
    left = level_mps * level_mps - cross_mps * cross_mps
    if left <= 0.0:
        return level_mps - _NEVER
    net_mps = sink_mps - up_mps
    if net_mps <= 1e-3:
        net_mps = 1e-3
    return (np.sqrt(left) + tail_mps - price_mps) / net_mps


def steady_glide(polar: Polar, eas_mps: float, air: GlideAir, glide_factor: float = 1.0) -> Steady:
    """Return level speed and sink of a straight glide at this EAS.

    >>> from farglide.glider.wing import Wing, polar_of
    >>> polar = polar_of(Wing(1.5, 0.30, 0.18, 9.0, 0.85, 0.030, 200e3, 0.0, 1.6))
    >>> glide = steady_glide(polar, 9.71, GlideAir(1.225, 1.7894e-5, 1.0))
    >>> round(glide.level_mps / glide.sink_mps, 2)
    14.15

    Valid: EAS from the stall (0.8 of its lift) up; glide factor 0.05 to 4.
    """
    slowest = float(_slowest_eas(polar))
    if not 0.05 <= glide_factor <= 4.0:
        raise InputError("glide_factor", glide_factor, "0.05 to 4")
    if not slowest - 1e-9 <= eas_mps <= 150.0:
        raise InputError(
            "eas_mps", f"{eas_mps} m/s", f"{slowest:.2f} (0.8 of the stall's lift) to 150 m/s"
        )
    return Steady(*_steady(polar, eas_mps, air, glide_factor, 1.0))


def speed_to_fly(
    polar: Polar, air: GlideAir, top_eas_mps: float, tail_mps: float = 0.0, up_mps: float = 0.0
) -> float:
    """Return the EAS that makes most ground per height lost in this wind along the way.

    Valid: winds to 150 m/s, air rising or sinking to 20 m/s.
    Source: tangent condition d(sink)/dV = sink / (V - w), FAA-H-8083-13A chapter 4 (method), solved
    here with the drag law itself instead of a parabola.
    """
    slowest_mps = float(_slowest_eas(polar))
    if not slowest_mps * (1.0 - 1e-9) <= top_eas_mps <= 150.0:
        allowed = f"at least {slowest_mps:.2f} m/s (0.8 of the stall's lift), to 150 m/s"
        raise InputError("top_eas_mps", f"{top_eas_mps} m/s", allowed)
    for name, value, most in (("tail_mps", tail_mps, 150.0), ("up_mps", up_mps, 20.0)):
        if not -most <= value <= most:
            raise InputError(name, f"{value} m/s", f"{-most:g} to {most:g} m/s")
    band = EasBand(min(slowest_mps, top_eas_mps), top_eas_mps)
    result: float = _best_eas(polar, air, band, 1.0, Winds(tail_mps, 0.0, up_mps, 0.0))
    return result
