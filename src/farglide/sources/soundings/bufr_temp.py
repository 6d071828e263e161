"""Soundings in WMO BUFR: upper-air reports with pressure, height, temperature and wind."""

import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.errors import SourceError
from farglide.sources.files import refused, utc_words
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.levels import (
    Levels,
    Report,
    blank_levels,
    counted,
    drop_impossible,
    uv_mps,
)
from farglide.sources.soundings.bufr_head import HEAD, ReportPlace, n_reports, number, spot, spot_of
from farglide.sources.soundings.bufr_messages import (
    PRESSURE,
    QUALITY_FOLLOWS,
    RawMessage,
    raw_messages,
    subsets,
)
from farglide.units import CELSIUS_ZERO_K

# Elements of table B, WMO-No. 306, volume I.2.
_BEFORE_PRESSURE: Final = {4086: "elapsed_s", 8042: "significance", 8001: "old_significance"}
_AFTER_PRESSURE: Final = {
    10009: "gph_m", 10003: "geopotential", 5015: "lat_offset_deg", 6015: "lon_offset_deg",
    12101: "t_k", 12001: "t_k", 12103: "dew_point_k", 12003: "dew_point_k", 11001: "wind_from_deg",
    11002: "wind_mps",
}  # fmt: skip
_GEOPOTENTIAL_M: Final = 9.80665  # m2/s2 in a geopotential metre: WMO-No. 49, by definition
_SURFACE_EXTENDED: Final = 1 << 17  # 0 08 042: bit 1 of 18, counted from the most significant
_SURFACE_OLD: Final = 1 << 6  # 0 08 001: bit 1 of 7


class Nearest(NamedTuple):
    """The sounding taken of a file, how many reports that holds, and how many were of no use."""

    sounding: Sounding
    n_reports: int
    n_skipped: int


def read_bufr(path: Path) -> tuple[list[Sounding], list[SourceError]]:
    """Return the soundings of the file and, for each other report in it, why it gave none.

    Raises when no report gave one: with the reason if there was one report only, with the first
    otherwise. A message cut short is always an error: what else is missing cannot be known.
    """
    soundings: list[Sounding] = []
    reasons: list[SourceError] = []
    n_messages = 0
    for n_messages, message in enumerate(raw_messages(path), 1):
        found = [*_decoded(message, path, n_messages)]
        soundings += [one for one in found if isinstance(one, Sounding)]
        reasons += [one for one in found if isinstance(one, SourceError)]
    if not soundings:
        raise _nothing(path, n_messages, reasons)
    return soundings, reasons


def read_nearest_bufr(path: Path, cost: Callable[[ReportPlace], float]) -> Nearest:
    """Return the sounding of the file whose place and time cost least, the first of equal ones.

    Reports are decoded in the order of what their heads cost, until no other can cost less.
    Raises as `read_bufr`.
    """
    messages = [*enumerate(raw_messages(path), 1)]
    queue = []
    for n, message in messages:
        told = spot_of(message)
        queue.append(((cost(told) if told else -math.inf, n), message))
    best: tuple[tuple[float, int], Sounding] | None = None
    reasons: list[SourceError] = []
    for least, message in sorted(queue, key=lambda one: one[0]):
        if best is not None and best[0] <= least:
            break
        for one in _decoded(message, path, least[1]):
            if isinstance(one, SourceError):
                reasons.append(one)
                continue
            costs = cost(ReportPlace(one.lat_deg, one.lon_deg, one.t_s)), least[1]
            best = (costs, one) if best is None or costs < best[0] else best
    if best is None:
        raise _nothing(path, len(messages), reasons)
    return Nearest(best[1], sum(n_reports(message) for _, message in messages), len(reasons))


def _decoded(message: RawMessage, path: Path, n: int) -> Iterator[Sounding | SourceError]:
    """Yield the sounding of each report of the n-th message, or why it gave none."""
    try:
        reports = subsets(message, path)
    except SourceError as error:
        yield error
        return
    for k, pairs in enumerate(reports, 1):
        where = f"message {n}" + (f" subset {k}" if len(reports) > 1 else "")
        try:
            yield _sounding(pairs, path, where)
        except SourceError as error:
            yield error


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
    lat_deg, lon_deg, t_s = spot(head)
    report = Report(
        path=str(path),
        part=where,
        noun="level",
        origin=f"sounding {_station(head)} {utc_words(t_s)}",
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        t_s=t_s,
        ground_gph_m=number(head, "ground_m"),
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
        if element == PRESSURE:
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
        elif element in HEAD and not rows:
            head.setdefault(HEAD[element], value)
    return head, rows


def _levels(rows: list[dict[str, Any]], report: Report) -> Levels:
    levels = blank_levels(len(rows))

    def column(name: str) -> np.ndarray[Any, np.dtype[np.float64]]:
        return np.array([number(row, name) for row in rows])

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


def _station(head: dict[str, Any]) -> str:
    block, station = number(head, "block"), number(head, "station")
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
