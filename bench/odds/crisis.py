"""Crisis: at which Reynolds number the drag of real balloons jumps, and how far flights differ.

Each climb is followed in cells of a kilometre. What a balloon lifts tells C_d Re^2 there, its speed
tells Re: so drag is seen without a curve. All curves are taken as one, moved along the Reynolds
number from flight to flight, and up and down by a level that stands for a fill nobody knows. The
level of all is that of the usual curve, which published climbs near the ground have set.
"""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np
from scipy.optimize import least_squares

from bench.odds.climbs import Lifter, neck_for_kg
from bench.odds.data import Flown
from farglide.air.standard import _density_kgpm3, _viscosity_pas
from farglide.arrays import FloatArray
from farglide.balloon.gas import GasMix, fill_of
from farglide.constants import (
    SEA_LEVEL_PRESSURE_PA,
    SEA_LEVEL_TEMPERATURE_K,
    STANDARD_GRAVITY_MPS2,
)
from farglide.earth.heights import geometric_at_m
from farglide.flightfile.standins import DRAG_TABLE

CELL_M: Final = 1000.0
_BALLOON_KG, _HANGING_KG = 0.6, 0.3  # of middling size: nobody knows these balloons
GRID: Final = np.linspace(np.log(1.0e4), np.log(2.0e6), 3000)
_SPEED_SD: Final = 0.1  # of a kilometre: the air's own rise and fall
_SHIFT_SD, _LEVEL_SD = 0.2, 0.3
"""How far flights may differ: wide, as the fit is to find it."""
_BEGINS: Final = (2.1e5, 2.6e5, 3.2e5)


class Curve(NamedTuple):
    """Drag before and behind its jump, both as powers of Re, and where and how wide that is."""

    high_log: float  # of C_d at Re 1e5, the jump left out
    high_power: float
    low_log: float  # of C_d at Re 5e5
    low_power: float
    at_log: float  # of Re
    width: float

    def log_drag(self, log_re: FloatArray) -> FloatArray:
        """Return the logarithm of C_d at logarithms of Re."""
        behind = 1.0 / (1.0 + np.exp(-(log_re - self.at_log) / self.width))
        high = self.high_log + self.high_power * (log_re - np.log(1.0e5))
        low = self.low_log + self.low_power * (log_re - np.log(5.0e5))
        return np.asarray(behind * low + (1.0 - behind) * high)


class Seen(NamedTuple):
    """One climb in cells of a kilometre: their middles, logarithms of Re and of C_d Re^2."""

    middle_m: FloatArray
    log_re: FloatArray
    log_number: FloatArray


class Fitted(NamedTuple):
    """The curve, and by how much each flight's lies higher along Re, and above it in level."""

    curve: Curve
    shift: FloatArray
    level: FloatArray


class Shown(NamedTuple):
    """By how much each cell is faster than a curve says, and how far that was moved along Re."""

    missed_log: FloatArray
    shift: float


def seen_of(one: Flown) -> Seen:
    """Return what a climb shows of its drag, in the flight's own air."""
    sounding = one.sounding
    assert sounding.elapsed_s is not None
    z = np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])
    rising = np.isfinite(sounding.elapsed_s)
    rising &= np.concatenate([[True], np.diff(np.maximum.accumulate(z)) > 0.0])
    z, t_s = z[rising], np.asarray(sounding.elapsed_s, np.float64)[rising]
    edges = np.arange(np.ceil(z[0] / CELL_M), np.floor(z[-1] / CELL_M) + 1.0) * CELL_M
    middle, speed = edges[:-1] + 0.5 * CELL_M, CELL_M / np.diff(np.interp(edges, z, t_s))
    t_k = np.interp(middle, z, sounding.t_k[rising])
    p_pa = np.exp(np.interp(middle, z, np.log(sounding.p_pa[rising])))
    rho = np.array([_density_kgpm3(*of) for of in zip(p_pa, t_k, strict=True)])
    viscosity = np.array([_viscosity_pas(value) for value in t_k])
    displaced_kg, lift_n = _lifted(float((z[-1] - z[0]) / (t_s[-1] - t_s[0])), float(z[-1]))
    across_m = np.cbrt(6.0 / np.pi * displaced_kg / rho)
    return Seen(middle, np.log(speed * across_m * rho / viscosity),
                np.log(8.0 * lift_n * rho / (np.pi * viscosity**2)))  # fmt: skip


def _lifted(mean_mps: float, top_m: float) -> tuple[float, float]:
    """Return the air that a balloon of middling size displaces, kg, and its free lift, N."""
    lifter = Lifter(
        balloon_kg=_BALLOON_KG, hanging_kg=_HANGING_KG, mean_mps=mean_mps,
        top_m=min(top_m, 35_000.0),
    )  # fmt: skip
    neck_kg = neck_for_kg(DRAG_TABLE, lifter)
    ground = SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K
    gas_kg = fill_of(neck_kg, _BALLOON_KG, GasMix(gas="helium"), *ground).gas_kg
    return neck_kg + _BALLOON_KG + gas_kg, (neck_kg - _HANGING_KG) * STANDARD_GRAVITY_MPS2


def log_re_by(log_drag: FloatArray, log_number: FloatArray) -> FloatArray:
    """Return the logarithm of Re at which a curve over `GRID` balances, the slowest of several."""
    balance = np.maximum.accumulate(log_drag + 2.0 * GRID)
    return np.interp(log_number, balance + 1e-9 * np.arange(len(balance)), GRID)


def missed(seen: Seen, log_drag: FloatArray, shift: float, level: float) -> FloatArray:
    """Return by how much the logarithm of each cell's speed is above that of a curve, moved."""
    said = log_re_by(log_drag, seen.log_number - level - 2.0 * shift) + shift
    return np.asarray(seen.log_re - said)


def fit_crisis(climbs: Sequence[Seen]) -> Fitted:
    """Return the curve of some climbs. Cells far off count less (soft L1)."""
    n, kept = len(climbs), np.linspace(np.log(5.0e4), np.log(6.0e5), 50)
    level = float(usual_log_drag(kept).mean())

    def off(x: FloatArray) -> FloatArray:
        curve, shift, above = _curve_of(x), x[6 : 6 + n], x[6 + n :]
        drag = curve.log_drag(GRID)
        cells = [missed(one, drag, s, a) / _SPEED_SD
                 for one, s, a in zip(climbs, shift, above, strict=True)]  # fmt: skip
        held = [(x[1] + 0.2) / 0.3, (x[3] + 0.2) / 0.3, (x[5] - np.log(0.08)) / 0.7,
                (curve.log_drag(kept).mean() - level) / 0.02]  # fmt: skip
        return np.concatenate([*cells, shift / _SHIFT_SD, above / _LEVEL_SD, held])

    def begun(at: float) -> FloatArray:
        curve = [np.log(0.75), -0.2, np.log(0.28), -0.2, np.log(at), np.log(0.08)]
        return np.concatenate([curve, np.zeros(2 * n)])

    tries = [least_squares(off, begun(at), loss="soft_l1", diff_step=1e-3) for at in _BEGINS]
    x = min(tries, key=lambda one: float(one.cost)).x
    return Fitted(_curve_of(x), x[6 : 6 + n], x[6 + n :])


def _curve_of(x: FloatArray) -> Curve:
    high_log, high_power, low_log, low_power, at_log, log_width = x[:6].tolist()
    return Curve(high_log, high_power, low_log, low_power, at_log, float(np.exp(log_width)))


def usual_log_drag(log_re: FloatArray) -> FloatArray:
    """Return the logarithm of C_d of the usual curve."""
    re, drag = np.array(DRAG_TABLE).T
    return np.asarray(np.log(np.interp(log_re, np.log(re), drag)))


def shown_by(seen: Seen, log_drag: FloatArray, may_shift: bool) -> Shown:
    """Return what a curve misses of a climb, its level fitted, and its shift if it may have one."""

    def off(x: FloatArray) -> FloatArray:
        return np.concatenate([missed(seen, log_drag, may_shift * x[0], x[1]) / _SPEED_SD,
                               [x[0] / _SHIFT_SD, x[1] / _LEVEL_SD]])  # fmt: skip

    tries = [least_squares(off, [s, 0.0], loss="soft_l1", diff_step=1e-3) for s in (-0.3, 0.0, 0.3)]
    shift, level = min(tries, key=lambda one: float(one.cost)).x.tolist()
    return Shown(missed(seen, log_drag, may_shift * shift, level), may_shift * shift)
