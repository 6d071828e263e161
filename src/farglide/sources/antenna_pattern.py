"""Measured antenna patterns as CSV: one direction a line, angle off the axis and gain."""

import difflib
import math
from pathlib import Path
from typing import Final, NamedTuple

from farglide.errors import InputError
from farglide.radio.antenna.measured import PatternRow, measured_pattern
from farglide.sources.files import NumberedLine, content, csv_cells, refused, text_of

COLUMNS: Final = ("angle_deg", "gain_dbi")
_LARGEST_BYTES: Final = 1_000_000
_EXAMPLE: Final = "The first line reads angle_deg,gain_dbi."
_NUMBERS: Final = "Write -12.5, with a point; with semicolons between the columns a comma will do."


def read_antenna_pattern(path: Path) -> tuple[PatternRow, ...]:
    """Return angles and gains of a file, found to be a whole pattern.

    Lines that begin with # and columns of other names are passed over; lines come in any order.
    Valid: as `radio.antenna.measured.measured_pattern`.
    """
    data = content(path, _LARGEST_BYTES)
    numbered = [
        NumberedLine(i, line)
        for i, line in enumerate(text_of(path, data).splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if not numbered:
        raise refused(path, "holds no line of values.", _EXAMPLE)
    form = _form(path, numbered[0])
    rows = tuple(_row(path, line, form) for line in numbered[1:])
    try:
        measured_pattern(rows)  # refuses too few, out of range, holes, one angle twice
    except InputError as error:
        raise refused(path, str(error)) from error
    return rows


class _Form(NamedTuple):
    """How the lines are cut, and in which columns angle and gain stand."""

    delimiter: str
    n_cells: int
    angle: int
    gain: int


def _form(path: Path, header: NumberedLine) -> _Form:
    delimiter = max(",;\t", key=header.text.count)
    names = [name.strip().lower() for name in csv_cells(path, header, delimiter)]
    for name in COLUMNS:
        if names.count(name) == 1:
            continue
        found = ", ".join(repr(one[:20]) for one in names[:8])
        what = f"has {names.count(name)} columns {name}; allowed: 1. It reads {found}."
        near = difflib.get_close_matches(name, [n for n in names if n not in COLUMNS], n=1)
        remedy = f"Is {near[0][:20]!r} meant? Write {name}." if near else _EXAMPLE
        raise refused(path, what, remedy, where=f"line {header.number}")
    return _Form(delimiter, len(names), *(names.index(name) for name in COLUMNS))


def _row(path: Path, line: NumberedLine, form: _Form) -> PatternRow:
    cells = csv_cells(path, line, form.delimiter)
    if len(cells) != form.n_cells:
        what = f"has {len(cells)} cells; the line of names has {form.n_cells}."
        are_decimals = form.delimiter == "," and len(cells) > form.n_cells
        remedy = f"Are commas its decimals? {_NUMBERS}" if are_decimals else "Mend or remove it."
        raise refused(path, what, remedy, where=f"line {line.number}")
    comma_is_decimal = form.delimiter != ","
    return PatternRow(
        _number(path, line.number, COLUMNS[0], cells[form.angle], comma_is_decimal),
        _number(path, line.number, COLUMNS[1], cells[form.gain], comma_is_decimal),
    )


def _number(path: Path, line: int, name: str, cell: str, comma_is_decimal: bool) -> float:
    bare = cell.strip().replace("\N{MINUS SIGN}", "-")
    try:
        value = float(bare.replace(",", ".") if comma_is_decimal else bare)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        what = f"{name} is {bare[:40]!r}; allowed: a number."
        raise refused(path, what, _NUMBERS, where=f"line {line}")
    return value
