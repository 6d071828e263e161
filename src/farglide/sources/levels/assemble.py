"""From the levels a file reports to a Sounding, with what was left out or filled in noted."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np

from farglide.air.sounding import Gap, Sounding
from farglide.errors import InputError
from farglide.sources.levels.filling import (
    check_hydrostatic,
    fill_between,
    fill_heights,
    fill_pressures,
)
from farglide.sources.levels.levels import MOST_LEVELS, OFFSETS, QUANTITIES, Levels, Report
from farglide.sources.levels.order import (
    climb_only,
    merge_equal,
    rising_heights,
    sorted_by_height,
    steadied,
)

NOTED_GAP_M: Final = 5000.0
DOUBTED_GAP_M: Final = 1000.0
"""A stretch without a wind report that is worth saying: as deep as a jet stream."""
_WHOLE: Final = "Take a full sounding: pressure, height, temperature and wind at each level."


def to_sounding(levels: Levels, report: Report) -> Sounding:
    """Return the sounding that the levels make, with a note for all that was left out or filled in.

    Levels without temperature and wind, below the ground, or after the highest point of a timed
    flight go. Missing heights follow from pressure and temperature; temperature and wind missing
    between reports are interpolated in the logarithm of pressure, never beyond the reported ends.
    """
    if len(levels) > MOST_LEVELS:
        what = f"has {len(levels)} {report.noun}s; allowed: up to {MOST_LEVELS}."
        raise report.error(what, "Take every tenth.")
    levels = _reporting(levels, report)
    levels = _above_ground(levels, report)
    levels, is_timed = climb_only(levels, report)
    located = levels[np.isfinite(levels["p_pa"])]
    located = steadied(located, report)
    if not is_timed:
        located = merge_equal(located, "p_pa", report)
    located = rising_heights(fill_heights(located, report), report)
    unpressed = levels[np.isnan(levels["p_pa"]) & np.isfinite(levels["gph_m"])]
    _count_lost(levels, located, unpressed, report)
    levels = sorted_by_height(fill_pressures(located, unpressed, report))
    levels = rising_heights(levels if is_timed else merge_equal(levels, "gph_m", report), report)
    gaps = _wind_gaps(levels)
    _note_gaps(gaps, report)
    levels = fill_between(levels, report)
    check_hydrostatic(levels, report)
    return replace(_sounding(levels, report), windless_gph_m=gaps)


def _reporting(levels: Levels, report: Report) -> Levels:
    has_wind = np.isfinite(levels["u_mps"])
    has_temperature = np.isfinite(levels["t_k"])
    keep = has_wind | has_temperature
    for name, unit, has in (("wind", "m/s", has_wind), ("temperature", "K", has_temperature)):
        if int(has.sum()) < 3:
            n_text = f"{int(has.sum())} of {len(levels)} {report.noun}s (in {unit} after reading)"
            raise report.error(f"{name} is reported at {n_text}; allowed: 3 or more.", _WHOLE)
    report.count((~keep).sum(), "with neither temperature nor wind left out")
    kept: Levels = levels[keep]
    return kept


def _above_ground(levels: Levels, report: Report) -> Levels:
    below = levels["gph_m"] < report.ground_gph_m - 1.0
    if below.any() and (below | np.isnan(levels["gph_m"])).all():
        what = f"its station is said to lie at {report.ground_gph_m:.6g} m, above all its levels."
        raise report.error(what, "Take another report, or fetch the file again.")
    report.count(below.sum(), f"below the ground at {report.ground_gph_m:.0f} m left out")
    kept: Levels = levels[~below]
    return kept


def _count_lost(levels: Levels, located: Levels, unpressed: Levels, report: Report) -> None:
    lost = np.isnan(levels["p_pa"]) & np.isnan(levels["gph_m"])
    report.count(lost.sum(), "with neither height nor pressure left out")
    if not len(located) and len(unpressed):
        raise report.error(f"no {report.noun} has a pressure; allowed: 3 or more.", _WHOLE)
    n_placed = len(located) + len(unpressed)
    if n_placed < 3:
        what = f"only {n_placed} {report.noun}s have a height; allowed: 3 or more."
        raise report.error(what, _WHOLE)


def _wind_gaps(levels: Levels) -> tuple[Gap, ...]:
    """Return the stretches without a reported wind that are too long for what lies between."""
    gph_m = levels["gph_m"][np.isfinite(levels["u_mps"])]
    wide = np.flatnonzero(np.diff(gph_m) > DOUBTED_GAP_M)
    return tuple(Gap(float(gph_m[i]), float(gph_m[i + 1])) for i in wide)


def _note_gaps(gaps: Sequence[Gap], report: Report) -> None:
    """Note where the wind is not reported over more than `NOTED_GAP_M`."""
    wide = [one for one in gaps if one.high_m - one.low_m > NOTED_GAP_M]
    if wide:
        stretches = ", ".join(f"{one.low_m / 1e3:.1f} to {one.high_m / 1e3:.1f} km" for one in wide)
        report.note(f"no wind reported from {stretches}: interpolated there")


def _sounding(levels: Levels, report: Report) -> Sounding:
    """Return the sounding of levels; what no level has of times and displacements is left out."""
    told = [name for name in QUANTITIES if name not in OFFSETS or np.isfinite(levels[name]).any()]
    values: dict[str, Any] = {name: np.ascontiguousarray(levels[name]) for name in told}
    try:
        return Sounding(
            relative_humidity_ratio=values.pop("rh_ratio"),
            **values,
            lat_deg=report.lat_deg,
            lon_deg=report.lon_deg,
            t_s=report.t_s,
            run_t_s=report.run_t_s,
            origin=report.origin,
            notes=tuple(report.notes),
        )
    except InputError as error:
        raise report.error(str(error)) from error
