"""Soundings in WMO BUFR: upper-air reports with pressure, height, temperature and wind."""

from pathlib import Path
from typing import Any, Final

import numpy as np

from farglide.air.column import Sounding
from farglide.arrays import FloatArray
from farglide.errors import SourceError
from farglide.sources.files import refused, utc_s, utc_words
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.levels import (
    Levels,
    Report,
    blank_levels,
    counted,
    drop_impossible,
    uv_mps,
)
from farglide.sources.soundings.bufr_messages import QUALITY_FOLLOWS, raw_messages, subsets
from farglide.units import CELSIUS_ZERO_K

# Elements of table B, WMO-No. 306, volume I.2.
_PRESSURE: Final = 7004
_BEFORE_PRESSURE: Final = {4086: "elapsed_s", 8042: "significance", 8001: "old_significance"}
_AFTER_PRESSURE: Final = {
    10009: "gph_m", 10003: "geopotential", 5015: "lat_offset_deg", 6015: "lon_offset_deg",
    12101: "t_k", 12001: "t_k", 12103: "dew_point_k", 12003: "dew_point_k", 11001: "wind_from_deg",
    11002: "wind_mps",
}  # fmt: skip
_HEAD: Final = {
    1001: "block", 1002: "station", 4001: "year", 4002: "month", 4003: "day", 4004: "hour",
    4005: "minute", 4006: "second", 5001: "lat_deg", 5002: "lat_deg", 6001: "lon_deg",
    6002: "lon_deg", 7030: "ground_m", 7001: "ground_m",
}  # fmt: skip
_GEOPOTENTIAL_M: Final = 9.80665  # m2/s2 in a geopotential metre: WMO-No. 49, by definition
_SURFACE_EXTENDED: Final = 1 << 17  # 0 08 042: bit 1 of 18, counted from the most significant
_SURFACE_OLD: Final = 1 << 6  # 0 08 001: bit 1 of 7


def read_bufr(path: Path) -> tuple[list[Sounding], list[SourceError]]:
    """Return the soundings of the file and, for each other report in it, why it gave none.

    Raises when no report gave one: with the reason if there was one report only, with the first
    otherwise. A message cut short is always an error: what else is missing cannot be known.
    """
    soundings: list[Sounding] = []
    reasons: list[SourceError] = []
    n_messages = 0
    for message in raw_messages(path):
        n_messages += 1
        try:
            reports = subsets(message, path)
        except SourceError as error:
            reasons.append(error)
            continue
        for k, pairs in enumerate(reports, 1):
            where = f"message {n_messages}" + (f" subset {k}" if len(reports) > 1 else "")
            try:
                soundings.append(_sounding(pairs, path, where))
            except SourceError as error:
                reasons.append(error)
    if not soundings:
        raise _nothing(path, n_messages, reasons)
    return soundings, reasons


def _nothing(path: Path, n_messages: int, reasons: list[SourceError]) -> SourceError:
    if n_messages == 0:
        return refused(path, "holds no BUFR message.", "Fetch the file again, as binary.")
    if len(reasons) == 1:
        return reasons[0]
    what = f"none of {len(reasons)} reports is a sounding; the first: {reasons[0].what}"
    remedy = "Give upper-air reports with temperature and wind (WMO template 3 09 052 or alike)."
    return refused(path, what, remedy)


def _sounding(pairs: list[tuple[int, Any]], path: Path, where: str) -> Sounding:
    head, rows = _split(pairs)
    t_s, lat_deg, lon_deg = _moment_s(head), _number(head, "lat_deg"), _number(head, "lon_deg")
    if not abs(lat_deg) <= 90.0 or not abs(lon_deg) <= 180.0:
        lat_deg = lon_deg = float("nan")
    report = Report(
        path=str(path),
        part=where,
        noun="level",
        origin=f"sounding {_station(head)} {utc_words(t_s)}",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        t_s=t_s,
        ground_gph_m=_number(head, "ground_m"),
    )
    if len(rows) < 3:
        what = f"has {counted(len(rows), 'level')} with a pressure; allowed: 3 or more."
        raise report.error(what, "Take a full sounding.")
    return to_sounding(drop_impossible(_levels(rows, report), report), report)


def _split(pairs: list[tuple[int, Any]]) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """Return the head of the report and a dictionary for each pressure in it.

    Every pressure begins a level, with the time and the significance that stand just before it.
    The wind-shear blocks at the end are such levels too: they hold neither temperature nor wind.
    """
    head: dict[str, Any] = {}
    rows: list[dict[str, Any]] = []
    coming: dict[str, Any] = {}
    for element, value in pairs:
        if element == QUALITY_FOLLOWS:
            break
        if element == _PRESSURE:
            rows.append({"p_pa": value} | coming)
            coming = {}
        elif element in _BEFORE_PRESSURE:
            name = _BEFORE_PRESSURE[element]
            if rows and element == 8001 and name not in rows[-1]:
                rows[-1][name] = value  # 0 08 001 follows its pressure, 0 08 042 goes before it
            else:
                coming[name] = value
        elif element in _AFTER_PRESSURE and rows:
            rows[-1].setdefault(_AFTER_PRESSURE[element], value)
        elif element in _HEAD and not rows:
            head.setdefault(_HEAD[element], value)
    return head, rows


def _levels(rows: list[dict[str, Any]], report: Report) -> Levels:
    levels = blank_levels(len(rows))

    def column(name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        return np.array([_number(row, name) for row in rows])

    for name in ("p_pa", "elapsed_s", "lat_offset_deg", "lon_offset_deg", "t_k"):
        levels[name] = column(name)
    levels["gph_m"] = np.where(
        np.isfinite(column("gph_m")), column("gph_m"), column("geopotential") / _GEOPOTENTIAL_M
    )
    levels["rh_ratio"] = relative_humidity_ratio(levels["t_k"], column("dew_point_k"))
    levels["u_mps"], levels["v_mps"] = uv_mps(column("wind_from_deg"), column("wind_mps"))
    at_ground = np.array([_is_surface(row) for row in rows]) & np.isnan(levels["gph_m"])
    levels["gph_m"][at_ground] = report.ground_gph_m
    return levels


def _is_surface(row: dict[str, Any]) -> bool:
    extended, old = row.get("significance"), row.get("old_significance")
    if isinstance(extended, int):
        return bool(extended & _SURFACE_EXTENDED)
    return isinstance(old, int) and bool(old & _SURFACE_OLD)


def _number(values: dict[str, Any], name: str) -> float:
    value = values.get(name)
    return float(value) if isinstance(value, int | float) else float("nan")


def _moment_s(head: dict[str, Any]) -> float:
    try:
        after_midnight_s = 3600.0 * int(head["hour"]) + 60.0 * int(head.get("minute") or 0)
        second_s = float(head.get("second") or 0.0)
        return utc_s(
            int(head["year"]), int(head["month"]), int(head["day"]), after_midnight_s + second_s
        )
    except (KeyError, TypeError, ValueError):
        return float("nan")


def _station(head: dict[str, Any]) -> str:
    block, station = _number(head, "block"), _number(head, "station")
    if np.isfinite(block) and np.isfinite(station):
        return f"WMO station {int(block):02d}{int(station):03d}"
    return "of a station without a number"


def relative_humidity_ratio(t_k: FloatArray, dew_point_k: FloatArray) -> FloatArray:
    """Return the vapour pressure at the dew point over that of saturation, both over water.

    Valid: -45 to 60 degrees Celsius; below it humidity no longer matters for density, and the
    formula stays smooth. Source: WMO-No. 8 (2008), annex 4.B, e_w = 6.112 exp(17.62 t /
    (243.12 + t)) hPa (Sonntag 1990), as two open texts cite it; its range from memory.

    >>> float(relative_humidity_ratio(np.array([293.15]), np.array([283.15])).round(3)[0])
    0.526
    """
    with np.errstate(over="ignore", divide="ignore", invalid="ignore"):
        ratio = np.exp(_exponent(dew_point_k) - _exponent(t_k))
    return np.where(dew_point_k <= t_k + 0.05, np.minimum(ratio, 1.0), np.nan)


def _exponent(t_k: FloatArray) -> FloatArray:
    t_c = t_k - CELSIUS_ZERO_K
    return np.where(t_c > -120.0, 17.62 * t_c / (243.12 + t_c), np.nan)
