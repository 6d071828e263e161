"""Table: the remarks, heads and numbers of a table of winds, before anything is made of them."""

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.earth.clock import seconds_from_text
from farglide.errors import InputError
from farglide.sources.files import (
    NumberedLine,
    csv_cells,
    utc_words,
)
from farglide.sources.levels.levels import MOST_LEVELS, Report
from farglide.sources.soundings.csv_columns import KINDS, NAME_THEM, check_column, checked_header

_REMARK: Final = re.compile(r"#\s*(lat_deg|lon_deg|time|origin)\s*:\s*(.*)", re.IGNORECASE)


_DEGREES: Final = {"lat_deg": (-90.0, 90.0), "lon_deg": (-180.0, 360.0)}


_EMPTY: Final = frozenset({"", "nan", "-", "--", "///", "na", "n/a", "null", "none"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """The numbers of the file as written, by column name, and the line each row stands on."""

    columns: dict[str, FloatArray]
    lines: IntArray


def report_of(path: Path, remarks: list[NumberedLine]) -> Report:
    said: dict[str, NumberedLine] = {}
    for i, line in remarks:
        match = _REMARK.fullmatch(line.strip())
        if match:
            said[match[1].lower()] = NumberedLine(i, match[2].strip())
    blank = Report(path=str(path), noun="line", origin="")
    t_s = _moment_s(*said["time"], blank) if "time" in said else float("nan")
    origin = said["origin"].text if "origin" in said else f"sounding {path.name} {utc_words(t_s)}"
    lat_deg, lon_deg = (_degrees(name, said, blank) for name in ("lat_deg", "lon_deg"))
    return replace(blank, origin=origin, lat_deg=lat_deg, lon_deg=lon_deg, t_s=t_s)


def _degrees(name: str, said: dict[str, NumberedLine], report: Report) -> float:
    if name not in said:
        return float("nan")
    i, text = said[name]
    low, high = _DEGREES[name]
    try:
        value = float(text.rstrip("°").strip())
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        what = f"{name} is {text!r}; allowed: {low:g} to {high:g} degrees."
        remedy = "Write decimal degrees, south and west negative."
        raise report.error(what, remedy, where=f"line {i}")
    return value - 360.0 if value > 180.0 else value


def _moment_s(i: int, text: str, report: Report) -> float:
    try:
        return seconds_from_text(text)
    except InputError as error:
        raise report.error(str(error), where=f"line {i}") from error


def table_of(rows: list[NumberedLine], report: Report) -> Table:
    if len(rows) < 4:
        n_rows = max(len(rows) - 1, 0)
        what = f"has {n_rows} lines of values; allowed: 3 or more below a line of names."
        raise report.error(what, NAME_THEM)
    if len(rows) > MOST_LEVELS:
        what = f"has {len(rows)} lines of values; allowed: up to {MOST_LEVELS}."
        raise report.error(what, "Take every tenth line.")
    header = rows[0]
    delimiter = max(",;\t", key=header.text.count)
    names = checked_header(header.text.split(delimiter), report, f"line {header.number}")
    cells = [_split(line, delimiter, len(names), report) for line in rows[1:]]
    lines = np.array([line.number for line in rows[1:]], np.int64)
    has_decimal_comma = delimiter == ";"
    columns: dict[str, FloatArray] = {}
    for k, name in enumerate(names):
        if name in KINDS:
            texts = [row[k].replace(",", ".") if has_decimal_comma else row[k] for row in cells]
            columns[name] = _numbers(name, texts, lines, report)
    return Table(columns=columns, lines=lines)


def _split(line: NumberedLine, delimiter: str, n: int, report: Report) -> list[str]:
    cells = csv_cells(report.path, line, delimiter)
    if len(cells) != n:
        what = f"has {len(cells)} cells; the line of names has {n}."
        remedy = "Mend or remove the line; if it is the last one, the file may be cut short."
        raise report.error(what, remedy, where=f"line {line.number}")
    return cells


def _numbers(name: str, texts: list[str], lines: IntArray, report: Report) -> FloatArray:
    values = np.full(len(texts), np.nan)
    for k, text in enumerate(texts):
        bare = text.strip()
        if bare.lower() in _EMPTY:
            continue
        try:
            values[k] = float(bare)
        except ValueError:
            values[k] = np.inf
        if not np.isfinite(values[k]):
            what = f"{name} is {bare[:40]!r}; allowed: a number, or an empty cell."
            remedy = "Numbers are written like -12.5, without units or thousands separators."
            raise report.error(what, remedy, where=f"line {lines[k]}")
    fills = np.isin(values, KINDS[name].fills)
    if fills.any():
        text = f"like {values[fills][0]:g} in {name} left out"
        report.count(fills.sum(), text, "fill value")
        values[fills] = np.nan
    check_column(name, values, lines, report)
    return values
