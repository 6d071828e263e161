"""Columns: lines of numbers or JSON objects whose meaning the flight file states.

Source: RFC 8259 (JSON) by Python's own reader; lines of numbers have no standard: common practice,
no source.
"""

from collections.abc import Iterator
from typing import Final

from farglide.earth.clock import seconds_from_text
from farglide.errors import is_number
from farglide.sortie.columns import Column, columns_of
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.gpsd import Table, json_table
from farglide.track.codecs.lines import lines_of
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Fix, Heard, HeightKind, Raw, Report

_SEPARATORS: Final = (";", "\t", ",")
Values = dict[str, float]


class ColumnsCodec(Codec):
    """Fixes of lines with mapped columns; one with a strength alone says that a link was heard."""

    def __init__(self, spec: FeedSpec) -> None:
        super().__init__(spec, lines_of(spec.where, rb"\}" if spec.format == "json" else b""))
        self._columns = columns_of(spec.columns, spec.format)

    def _read(self, piece: bytes, raw: Raw) -> Iterator[Report]:
        said = self._said(piece)
        values = {
            one.meaning.key.replace("iso", "t_s"): value
            for one in self._columns
            if (value := _value(one, said)) is not None
        }
        strength_dbm = values.pop("strength_dbm", None)
        t_s = values.get("t_s")
        if strength_dbm is not None:
            yield Heard(feed=self.spec.name, t_s=t_s, strength_dbm=strength_dbm)
        if "lat_deg" in values and "lon_deg" in values:
            self.check_new(t_s)
            yield self._fix(values)
        elif strength_dbm is None:
            raise UnreadError(Cause.NO_FIX)

    def _said(self, piece: bytes) -> dict[str, object]:
        """Return what stands in the line, by the place of each column."""
        if self.spec.format == "json":
            table = json_table(piece)
            return {one.at: _under(table, one.at) for one in self._columns}
        try:
            line = piece.decode("ascii")
        except UnicodeDecodeError:
            raise UnreadError(Cause.NO_LINE) from None
        separator = next((one for one in _SEPARATORS if one in line), ",")
        cells = line.split(separator)
        if len(cells) < max(int(one.at) for one in self._columns):
            raise UnreadError(Cause.HALF)
        point = "," if separator != "," else "."
        return {
            one.at: cells[int(one.at) - 1].strip().strip('"').replace(point, ".")
            for one in self._columns
        }

    def _fix(self, values: Values) -> Fix:
        n_satellites = values.get("n_satellites")
        return Fix(
            feed=self.spec.name,
            lat_deg=values["lat_deg"],
            lon_deg=values["lon_deg"],
            t_s=values.get("t_s"),
            height_m=values.get("height_m"),
            height_kind=self.height_kind(HeightKind.SEA_LEVEL),
            separation_m=values.get("separation_m"),
            speed_mps=values.get("speed_mps"),
            track_deg=values.get("track_deg"),
            n_satellites=None if n_satellites is None else int(n_satellites),
        )


def _under(table: Table, path: str) -> object:
    """Return what stands under a path of keys, None where one of them is missing."""
    found: object = table
    for key in path.split("."):
        found = found.get(key) if isinstance(found, dict) else None
    return found


def _value(column: Column, said: dict[str, object]) -> float | None:
    """Return a column in SI, None where it is empty. Raises UnreadError."""
    value = said[column.at]
    if value is None or value == "":
        return None
    if column.meaning.key == "iso":
        if not isinstance(value, str):
            raise UnreadError(Cause.RANGE)
        return seconds_from_text(value)
    if isinstance(value, str):
        try:
            value = float(value) if "_" not in value else None
        except ValueError:
            value = None
    if not is_number(value):
        raise UnreadError(Cause.NO_LINE)
    if not abs(value) < 1e18:
        raise UnreadError(Cause.RANGE)
    return float(value) * column.meaning.unit_si
