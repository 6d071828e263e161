"""Fit drag to the shape of real climbs, and the fall to dropsondes."""

from collections.abc import Sequence
from functools import partial
from typing import Final

import numpy as np
from scipy.optimize import least_squares

from bench.odds.climbs import (
    N_BANDS,
    TYPICAL,
    DragTable,
    Lifter,
    band_ratios,
    high_flights,
    mean_ratios,
    neck_for_kg,
    ratios_by_table,
)
from bench.odds.data import Flown
from bench.odds.falls import Fall, dropsondes
from bench.odds.resample import interval, numbered
from farglide.arrays import FloatArray
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3

POOLED: Final = (1.02, 1.01, 0.96, 0.94, 1.01, 1.08, 1.14)
"""Medians of 47 flights above 20 km, by band of 5 km; 10 to 90 %: 0.11 either way in every band.

Source: an earlier look at open flights of several services; the open sets here hold 18 of them.
"""
POOLED_SD: Final = 0.11 / 1.2816
REYNOLDS: Final = (3.0e4, 6.0e4, 1.2e5, 2.2e5, 4.0e5, 7.0e5)
BEFORE: Final = (1.100, 0.841, 0.627, 0.469, 0.354, 0.278)
"""Drag there by the polynomial of Gallice et al. 2011, which the fit begins with.

Its level is kept, as a shape tells nothing of it: a neck lift climbs as fast as it did.
"""
_CLOSE: Final = 0.02  # of a median of 47
_LEVEL: Final = 0.02
_BEND: Final = 0.3
"""How much the logarithm of drag may bend from point to point: without it the table zigzags."""
_SETTLED_S: Final = 60.0
_N_TIMES: Final = 400


def drag_table(log_drag: FloatArray) -> DragTable:
    """Return the table of these logarithms."""
    return tuple((re, float(np.exp(x))) for re, x in zip(REYNOLDS, log_drag, strict=True))


def fit_drag(
    target: Sequence[float] = POOLED,
    lifters: Sequence[Lifter] = TYPICAL,
) -> DragTable:
    """Return the drag table whose balloons climb in bands as the target says, in the mean."""
    before = np.log(BEFORE)

    def off(log_drag: FloatArray) -> FloatArray:
        said = mean_ratios(drag_table(log_drag), lifters)
        level = (log_drag - before).mean() / _LEVEL
        return np.concatenate(
            [(said - target) / _CLOSE, [level], np.diff(log_drag - before, 2) / _BEND]
        )

    return drag_table(least_squares(off, before, diff_step=1e-3).x)


def band_errors(table: DragTable) -> tuple[list[str], FloatArray]:
    """Return the flights' names and the logarithms of real over computed ratios, by band.

    Each beside a balloon of middling size with the flight's own mean climb and top.
    """
    names, rows = [], []
    for one in high_flights():
        found = band_ratios(one)
        top_m = min(float(one.sounding.gph_m[-1]), 35_000.0)
        lifter = Lifter(balloon_kg=0.6, hanging_kg=0.3, mean_mps=_mean_mps(one), top_m=top_m)
        rows.append(np.log(found / ratios_by_table(table, lifter)))
        names.append(f"{one.campaign} {one.day}")
    return names, np.array(rows)


def _mean_mps(one: Flown) -> float:
    sounding, t_s = one.sounding, one.sounding.elapsed_s
    if t_s is None:
        return float("nan")
    known_s = t_s[np.isfinite(t_s)]
    return float((sounding.gph_m[-1] - sounding.gph_m[0]) / (known_s[-1] - known_s[0]))


def neighbour_correlation(errors: FloatArray, weight: FloatArray, apart: int = 1) -> float:
    """Return the correlation of errors in bands so many apart, the bands' own means taken off."""
    mean = np.nansum(weight[:, None] * errors, axis=0) / np.maximum(
        (weight[:, None] * np.isfinite(errors)).sum(axis=0), 1e-9
    )
    a, b = (errors - mean)[:, :-apart], (errors - mean)[:, apart:]
    known, w = np.isfinite(a + b), np.broadcast_to(weight[:, None], a.shape)
    a, b, w = a[known], b[known], w[known]
    return float((w * a * b).sum() / np.sqrt((w * a * a).sum() * (w * b * b).sum()))


def fall_exponent(falls: tuple[Fall, ...], weight: FloatArray) -> float:
    """Return x of EAS ~ rho^x, each fall with a speed of its own, over 500 m stretches."""
    up = down = 0.0
    for fall, w in zip(falls, weight, strict=True):
        log_rho, log_eas = eas_by_density(fall)
        log_rho, log_eas = log_rho - log_rho.mean(), log_eas - log_eas.mean()
        up += w * (log_rho * log_eas).sum()
        down += w * (log_rho**2).sum()
    return up / down


def eas_by_density(fall: Fall) -> tuple[FloatArray, FloatArray]:
    """Return the logarithms of density and equivalent airspeed of a settled fall."""
    begun = fall.t_s >= fall.t_s[0] + _SETTLED_S
    t_s, hae_m, rho = fall.t_s[begun], fall.hae_m[begun], fall.rho_kgpm3[begun]
    falling = np.concatenate([[True], np.diff(np.minimum.accumulate(hae_m)) < 0.0])
    t_s, hae_m, rho = t_s[falling], hae_m[falling], rho[falling]
    edges = np.arange(hae_m[0], max(hae_m[-1], 200.0), -500.0)
    at = np.interp(-edges, -hae_m, t_s)
    middle = np.interp(-0.5 * (edges[1:] + edges[:-1]), -hae_m, rho)
    speed = 500.0 / np.diff(at)
    return np.log(middle), np.log(speed * np.sqrt(middle / SEA_LEVEL_DENSITY_KGPM3))


def climb_rows() -> list[str]:
    """Return the drag table, the climbs it makes, the errors by band, and the fall."""
    table = fit_drag()
    points = " ".join(f"({re:.1e}, {drag:.3f})" for re, drag in table)
    rows = [
        f"Drag table (Reynolds number, C_d): {points}",
        "Speed in bands of 5 km from the ground, over the mean of the climb.",
        _row("medians of 47 flights", np.array(POOLED)),
        _row("with the table", mean_ratios(table)),
        _row("with the table before", mean_ratios(drag_table(np.log(BEFORE)))),
        _row("with a constant drag", mean_ratios(((1.0e5, 0.3),))),
    ]
    for lifter in TYPICAL:
        neck_kg = neck_for_kg(table, lifter)
        name = f"  {lifter.balloon_kg} kg, {lifter.mean_mps} m/s, neck {neck_kg:.2f} kg"
        rows.append(_row(name, ratios_by_table(table, lifter)))
    ours = np.array([band_ratios(one) for one in high_flights()])
    rows.append(_row(f"medians of the {len(ours)} open flights", np.nanmedian(ours, axis=0)))
    return [*rows, *_error_rows(table), *_fall_rows()]


def _error_rows(table: DragTable) -> list[str]:
    """Return the errors of the open flights by band, and how they hang together."""
    names, errors = band_errors(table)
    group, flat = numbered(names), np.ones(len(names))
    rows = [
        _row("their errors, mean logarithm", np.nanmean(errors, axis=0)),
        _row("their errors, one sd", np.nanstd(errors, axis=0, ddof=1)),
    ]
    for apart in (1, 2, 3):
        low, high = interval(
            partial(_correlation_of, errors=errors, apart=apart), group, _N_TIMES, 1
        )
        found = neighbour_correlation(errors, flat, apart)
        rows.append(f"correlation {apart} apart: {found:.2f} ({low:.2f} to {high:.2f})")
    return rows


def _correlation_of(weight: FloatArray, errors: FloatArray, apart: int) -> float:
    return neighbour_correlation(errors, weight, apart)


def _fall_rows() -> list[str]:
    falls = dropsondes()
    group = numbered([fall.name[:9] for fall in falls])
    low, high = interval(lambda weight: fall_exponent(falls, weight), group, _N_TIMES, 1)
    found = fall_exponent(falls, np.ones(len(falls)))
    scatter = np.median([np.std(eas_by_density(fall)[1]) for fall in falls])
    return [
        f"{len(falls)} dropsondes: EAS ~ rho^{found:.3f} ({low:.3f} to {high:.3f}); scatter along "
        f"a fall {100.0 * scatter:.1f} %",
    ]


def _row(name: str, values: FloatArray) -> str:
    return f"{name:34s}" + " ".join(f"{value:6.2f}" for value in values[:N_BANDS])
