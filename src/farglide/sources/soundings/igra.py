"""Soundings in the fixed-width text of the Integrated Global Radiosonde Archive, version 2."""

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.sources.files import content, refused, text_of, utc_s, utc_words
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.levels import Levels, Report, blank_levels, drop_impossible, uv_mps
from farglide.units import CELSIUS_ZERO_K

HEADER: Final = re.compile(
    r"#(?P<id>[A-Z0-9]{11}) (?P<year>\d{4}) (?P<month>[ \d]\d) (?P<day>[ \d]\d) (?P<hour>[ \d]\d)"
    r" (?P<release>\d{4}| \d{3}|  \d\d|   \d) (?P<n_levels>\d{4}| \d{3}|  \d\d|   \d)"
    r"(?P<tail>.{0,60})",
    re.ASCII,
)
"""The line that begins a sounding. Source: IGRA v2 data format, as read by open readers of it."""

_MISSING: Final = frozenset({"-9999", "-8888", "-99999", ""})
_FIELDS: Final = {  # first and last place of each field, from 0, last one excluded
    "elapsed": (3, 8), "p_pa": (9, 15), "gph_m": (16, 21), "t_dc": (22, 27),
    "rh_permille": (28, 33), "wind_from_deg": (40, 45), "wind_dmps": (46, 51),
}  # fmt: skip
_FULL_WIDTH: Final = 51


@dataclass(frozen=True, slots=True, kw_only=True)
class _Head:
    """The header of one sounding: where it begins in the file, and what it says."""

    line: int  # place of the header among the lines, from 0
    station: str
    n_levels: int
    t_s: float
    lat_deg: float
    lon_deg: float


def read_igra_sounding(path: Path, t_s: float | None) -> Sounding:
    """Return the sounding of the file nearest in time to `t_s`, or the newest without it."""
    lines = text_of(path, content(path)).splitlines()
    heads = [_head(path, i, line) for i, line in enumerate(lines) if line.startswith("#")]
    if not heads:
        raise refused(path, "has no line that begins a sounding (#...).", "Give IGRA v2 text.")
    dated = [head for head in heads if head.t_s == head.t_s]
    chosen = _nearest(dated, t_s) if dated else heads[-1]
    report = Report(
        path=str(path),
        noun="line",
        origin=f"sounding IGRA {chosen.station} {utc_words(chosen.t_s)}",
        lat_deg=chosen.lat_deg,
        lon_deg=chosen.lon_deg,
        t_s=chosen.t_s,
    )
    if len(heads) > 1:
        taken = f"that of {utc_words(chosen.t_s)}"
        why = "the newest" if t_s is None else "the nearest in time"
        report.note(f"{len(heads)} soundings in the file: took {taken}, {why}")
    levels = _levels(lines, chosen, report)
    return to_sounding(drop_impossible(levels, report), report)


def _nearest(heads: list[_Head], t_s: float | None) -> _Head:
    if t_s is None:
        return max(heads, key=lambda head: head.t_s)
    return min(heads, key=lambda head: abs(head.t_s - t_s))


def _head(path: Path, i: int, line: str) -> _Head:
    match = HEADER.match(line)
    if match is None:
        what = f"begins a sounding but is not an IGRA v2 header: {line[:40]!r}."
        remedy = "Give the file as downloaded: '#', station, date, hour, release time, levels."
        raise refused(path, what, remedy, where=f"line {i + 1}")
    place = match["tail"].split()[-2:]
    return _Head(
        line=i,
        station=match["id"],
        n_levels=int(match["n_levels"]),
        t_s=_launch_s(path, i, match),
        lat_deg=_ten_thousandths(place, 0, 90.0),
        lon_deg=_ten_thousandths(place, 1, 180.0),
    )


def _ten_thousandths(place: list[str], k: int, limit: float) -> float:
    """Return degrees from their 1/10 000, NaN where a station moves or is not placed."""
    try:
        value = int(place[k]) / 1e4
    except (ValueError, IndexError):
        return float("nan")
    return value if abs(value) <= limit else float("nan")


def _launch_s(path: Path, i: int, match: re.Match[str]) -> float:
    """Return when the balloon left, else the nominal hour, else NaN.

    The release time may belong to the evening before the nominal hour.
    """
    hour, release = int(match["hour"]), int(match["release"])
    try:
        midnight_s = utc_s(int(match["year"]), int(match["month"]), int(match["day"]), 0.0)
    except ValueError:
        date = "-".join(match[key] for key in ("year", "month", "day"))
        what = f"has the date {date}; allowed: a real date."
        raise refused(path, what, "Fetch the file again.", where=f"line {i + 1}") from None
    has_release = release % 100 < 60 and release // 100 < 24
    if not has_release:
        return midnight_s + 3600.0 * hour if hour < 24 else float("nan")
    launch_s = midnight_s + 3600.0 * (release // 100) + 60.0 * (release % 100)
    if hour < 24 and launch_s - (midnight_s + 3600.0 * hour) > 12.0 * 3600.0:
        launch_s -= 86_400.0
    return launch_s


def _levels(lines: list[str], head: _Head, report: Report) -> Levels:
    first = head.line + 1
    rows = lines[first : first + head.n_levels]
    found = next((k for k, row in enumerate(rows) if row.startswith("#")), len(rows))
    if found < head.n_levels:
        what = f"announces {head.n_levels} levels, but {found} follow."
        raise report.error(what, "The file is cut short: fetch it again.", where=f"line {first}")
    levels = blank_levels(len(rows))
    levels["row"] = first + 1 + np.arange(len(rows))
    raw = {name: np.full(len(rows), np.nan) for name in _FIELDS}
    for k, row in enumerate(rows):
        if len(row.rstrip("\r\n")) < _FULL_WIDTH:
            what = f"has {len(row)} characters; allowed: {_FULL_WIDTH} or more."
            remedy = "The line is cut short: fetch the file again."
            raise report.error(what, remedy, where=f"line {first + k + 1}")
        for name, (start, end) in _FIELDS.items():
            raw[name][k] = _number(row[start:end], name, first + k + 1, report)
    levels["elapsed_s"] = 60.0 * (raw["elapsed"] // 100) + raw["elapsed"] % 100  # MMMSS
    levels["p_pa"], levels["gph_m"] = raw["p_pa"], raw["gph_m"]
    levels["t_k"] = raw["t_dc"] / 10.0 + CELSIUS_ZERO_K
    levels["rh_ratio"] = raw["rh_permille"] / 1000.0
    levels["u_mps"], levels["v_mps"] = uv_mps(raw["wind_from_deg"], raw["wind_dmps"] / 10.0)
    return levels


def _number(text: str, name: str, line: int, report: Report) -> float:
    bare = text.strip()
    if bare in _MISSING:
        return float("nan")
    try:
        return float(int(bare))
    except ValueError:
        what = f"{name} is {bare!r}; allowed: a whole number, or -9999 where missing."
        remedy = "Fetch the file again; its columns have fixed places."
        raise report.error(what, remedy, where=f"line {line}") from None
