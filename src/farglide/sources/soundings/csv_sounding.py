"""Soundings as CSV: one level a line, column names with units, place and time in comment lines."""

from pathlib import Path
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.earth.heights import geopotential_at_m
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.sources.files import (
    LARGEST_TEXT_BYTES,
    NumberedLine,
    content,
    text_of,
)
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.filling import pressure_from_sea_level_pa, standard_temperature_k
from farglide.sources.levels.levels import Levels, Report, blank_levels, uv_mps
from farglide.sources.levels.order import climb_only, merge_equal
from farglide.sources.soundings.csv_columns import KINDS
from farglide.sources.soundings.csv_table import Table, report_of, table_of

_SLOW_LAPSE_KPM: Final = 0.003
_TROPOSPHERE_M: Final = 9000.0
_HIGHEST_SONDE_M: Final = 42_000.0


def read_csv_sounding(path: Path, place: Place | None) -> Sounding:
    """Return the sounding of a CSV file.

    Height and wind must be there; a missing pressure is computed from sea level up, a missing
    temperature taken from the standard atmosphere, and both are noted. Lines may come in any order.
    """
    text = text_of(path, content(path, LARGEST_TEXT_BYTES))
    lines = [NumberedLine(i, line) for i, line in enumerate(text.splitlines(), 1) if line.strip()]
    report = report_of(path, [line for line in lines if line.text.lstrip().startswith("#")])
    table = table_of([line for line in lines if not line.text.lstrip().startswith("#")], report)
    levels = _levels(table, report, _latitude_deg(report, place))
    return to_sounding(_with_pressure(_with_temperature(levels, report), report), report)


def _latitude_deg(report: Report, place: Place | None) -> float:
    if np.isfinite(report.lat_deg):
        return report.lat_deg
    return place.lat_deg if place is not None else float("nan")


def _levels(table: Table, report: Report, lat_deg: float) -> Levels:
    levels = blank_levels(len(table.lines))
    levels["row"] = table.lines
    polar: dict[str, FloatArray] = {}
    for name, values in table.columns.items():
        kind = KINDS[name]
        si = values * kind.factor + kind.offset
        if kind.quantity in ("amsl_m", "wind_from_deg", "wind_mps"):
            polar[kind.quantity] = si
        else:
            levels[kind.quantity] = si
    if "wind_mps" in polar:
        levels["u_mps"], levels["v_mps"] = uv_mps(polar["wind_from_deg"], polar["wind_mps"])
    half = np.isnan(levels["u_mps"]) | np.isnan(levels["v_mps"])
    levels["u_mps"][half] = levels["v_mps"][half] = np.nan
    if "amsl_m" in polar:
        levels["gph_m"] = _geopotential_m(polar["amsl_m"], lat_deg, report)
    unplaced = np.isnan(levels["gph_m"])
    report.count(unplaced.sum(), "without height left out")
    return _in_order(levels[~unplaced], report)


def _geopotential_m(amsl_m: FloatArray, lat_deg: float, report: Report) -> FloatArray:
    if not np.isfinite(lat_deg):
        said = "geometric heights turned into geopotential as at 45 degrees"
        report.note(f"latitude not given: {said}")
        lat_deg = 45.0
    return np.array([geopotential_at_m(float(h), lat_deg) if h == h else np.nan for h in amsl_m])


def _in_order(levels: Levels, report: Report) -> Levels:
    """Return the levels lowest first, refusing pressures that do not fall with height."""
    if len(levels) < 3:
        what = f"has {len(levels)} lines with a height; allowed: 3 or more."
        raise report.error(what, "Give more levels.")
    levels, is_timed = climb_only(levels, report)
    order = np.argsort(levels["gph_m"], kind="stable")
    if np.any(np.diff(order) < 0) and not np.all(np.diff(levels["gph_m"]) <= 0.0):
        report.note("lines were not in order of height: sorted")
    levels = levels[order]
    if not is_timed:
        levels = merge_equal(levels, "gph_m", report)
    pressed = levels[np.isfinite(levels["p_pa"])]
    rises = np.flatnonzero(np.diff(pressed["p_pa"]) > 1e-3 * pressed["p_pa"][:-1])
    if len(rises):
        low, high = pressed[rises[0]], pressed[rises[0] + 1]
        raise report.error(
            f"pressure rises with height: {low['p_pa']:.1f} Pa at {low['gph_m']:.0f} m, "
            f"{high['p_pa']:.1f} Pa at {high['gph_m']:.0f} m; allowed: pressure falls with height.",
            "Mend the line that is wrong.",
            where=f"lines {low['row']} and {high['row']}",
        )
    return levels


def _with_temperature(levels: Levels, report: Report) -> Levels:
    if np.isfinite(levels["t_k"]).any():
        return levels
    levels = levels.copy()
    try:
        levels["t_k"] = standard_temperature_k(levels["gph_m"])
    except InputError as error:
        raise report.error(str(error), "Give the temperatures.") from error
    report.note("no temperature given: standard atmosphere taken")
    return levels


def _with_pressure(levels: Levels, report: Report) -> Levels:
    if np.isfinite(levels["p_pa"]).any():
        return levels
    z, known = levels["gph_m"], np.isfinite(levels["t_k"])
    levels = levels.copy()
    t_k = np.interp(z, z[known], levels["t_k"][known])
    levels["p_pa"] = pressure_from_sea_level_pa(z, t_k)
    report.note("no pressure given: computed upward from 1013.25 hPa at sea level")
    _note_lapse(levels[known], report)
    return levels


def _note_lapse(levels: Levels, report: Report) -> None:
    """Note when it cools so slowly with height that the heights may be feet.

    For soundings without pressures, which nothing else checks. Taken for metres, feet leave 2 K/km
    of the usual 5 to 8; only over cold high ground is that the truth.
    """
    if levels["gph_m"][-1] > _HIGHEST_SONDE_M:
        report.note(
            f"the table reaches {levels['gph_m'][-1] / 1000.0:.0f} km, higher than sondes get: are "
            "the heights feet? Give metres."
        )
        return
    low = levels[levels["gph_m"] < _TROPOSPHERE_M]
    if len(low) < 3 or low["gph_m"][-1] - low["gph_m"][0] < 0.5 * _TROPOSPHERE_M:
        return
    lapse_kpm = -float(np.polyfit(low["gph_m"], low["t_k"], 1)[0])
    if lapse_kpm < _SLOW_LAPSE_KPM:
        report.note(
            f"it cools by only {1000.0 * lapse_kpm:.1f} K/km up to {low['gph_m'][-1]:.0f} m: are "
            "the heights feet? Give metres."
        )
