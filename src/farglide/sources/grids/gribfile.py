"""GRIB files: which fields are in one, and their values."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from mmap import ACCESS_READ, mmap
from pathlib import Path
from typing import Any, Final

import numpy as np

from farglide.arrays import SingleArray
from farglide.sources.files import beginning, refused
from farglide.sources.grib.messages import MOST_POINTS, GribMessage, grib_messages
from farglide.sources.grids.edition1 import fields_1
from farglide.sources.grids.edition2 import fields_2
from farglide.sources.grids.field import Field
from farglide.sources.grids.layout import Layout, OtherLayout
from farglide.sources.quiet import quiet

_CHUNK_POINTS: Final = 20_000_000
"""How many values are decoded at once: 80 MB."""
_PACKINGS: Final = (
    "simple", "complex", "complex with differences", "IEEE numbers", "JPEG 2000", "CCSDS",
)  # fmt: skip
"""What the decoder unpacks rightly, held against ecCodes 2.50.0.

Of PNG it makes one value for all points, of second order in edition 1 zeros, without a word.
"""
_LEVEL: Final = re.compile(r"([\d.]+)\[(Pa|hPa|-)\]")
_OPTIONS: Final = {
    # NO units: else temperatures come in Celsius. NO turned longitudes: columns as they stand.
    # OFF: what headers tell is read here, and once is enough.
    "GRIB_NORMALIZE_UNITS": "NO", "GRIB_ADJUST_LONGITUDE_RANGE": "NO",
    "GRIB_PDS_ALL_BANDS": "OFF",
    "GRIB_USE_IDX": "NO", "GDAL_PAM_ENABLED": "NO", "GDAL_DISABLE_READDIR_ON_OPEN": "EMPTY_DIR",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class GribFile:
    """A file of whole messages and the headers of all their fields."""

    path: Path
    messages: tuple[GribMessage, ...]
    fields: tuple[tuple[Field, ...], ...]  # by message

    @property
    def useful(self) -> list[Field]:
        """Return the headers of the fields that hold a quantity of use."""
        return [one for fields in self.fields for one in fields if one.quantity]

    def planes(self, wanted: Sequence[Field]) -> Iterator[tuple[Field, SingleArray]]:
        """Yield each of these fields with its values, NaN where it tells none.

        Rows come from the north to the south, columns as they stand in the file.
        """
        for chunk in self._chunks(wanted):
            numbers = sorted({one.message for one in chunk})
            data = self._bytes(numbers)
            before = np.cumsum([0, *(len(self.fields[k]) for k in numbers)])
            first = dict(zip(numbers, before.tolist(), strict=False))
            bands = [first[one.message] + one.place + 1 for one in chunk]
            values = _decoded(self.path, data, chunk, bands)
            for one, plane in zip(chunk, values, strict=True):
                yield one, plane * np.float32(one.factor) if one.factor != 1.0 else plane

    def _chunks(self, wanted: Sequence[Field]) -> Iterator[list[Field]]:
        """Yield the fields in the order of the file, as many at once as the memory should hold."""
        chunk, n = list[Field](), 0
        for one in sorted(wanted, key=lambda item: (item.message, item.place)):
            chunk.append(one)
            n += n_points(one.layout)
            if n > _CHUNK_POINTS:
                yield chunk
                chunk, n = [], 0
        if chunk:
            yield chunk

    def _bytes(self, numbers: list[int]) -> bytes:
        """Return these messages alone: the decoder looks at all it is given before it reads any."""
        with self.path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as data:
            chosen = [self.messages[k] for k in numbers]
            return b"".join(data[one.start : one.start + one.length] for one in chosen)


def n_points(layout: Layout | None) -> int:
    """Return how many values a field of this layout has."""
    if layout is None or isinstance(layout, OtherLayout):
        return 0
    return layout.n_rows * layout.n_columns


def open_grib(path: Path) -> GribFile:
    """Return what is in a GRIB file; raise where a message is cut short or cannot be read."""
    _check_is_no_page(path)
    messages = grib_messages(path)
    found = []
    try:
        with path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as data:
            for k, message in enumerate(messages):
                octets = data[message.start : message.start + message.length]
                found.append(_headers(path, octets, message.edition, k))
    except OSError as error:
        raise refused(path, f"cannot be read: {error}.", "Fetch it again.") from error
    return GribFile(path=path, messages=tuple(messages), fields=tuple(found))


def check_readable(path: Path, fields: Sequence[Field]) -> None:
    """Raise where the values of a field that is to be read could not be."""
    for one in fields:
        where = f"message {one.message + 1}"
        if isinstance(one.layout, OtherLayout):
            what = f"is on a grid that is not read here: {one.layout.name}."
            remedy = "Fetch the forecast on a regular latitude/longitude grid."
            raise refused(path, what, remedy, where=where)
        if n_points(one.layout) > MOST_POINTS:
            what = f"announces a grid of {n_points(one.layout)} points; allowed: {MOST_POINTS}."
            raise refused(path, what, "Fetch the forecast of a smaller area.", where=where)
        _check_packing(path, one)


def check_packings(path: Path) -> None:
    """Raise where a field of use in a file is written in a way that the decoder misreads."""
    for one in open_grib(path).useful:
        if one.kind == "pressure":
            _check_packing(path, one)


def _check_packing(path: Path, one: Field) -> None:
    if one.packing not in _PACKINGS:
        what = f"has its values in a packing {one.packing}; allowed: {', '.join(_PACKINGS)}."
        where = f"message {one.message + 1}"
        raise refused(path, what, "Fetch it in one of these packings.", where=where)


def _headers(path: Path, octets: bytes, edition: int, number: int) -> tuple[Field, ...]:
    try:
        fields = fields_2(octets) if edition == 2 else fields_1(octets)
    except (ValueError, OverflowError) as error:  # what ends early, or is no day of any month
        what = f"has a header that cannot be read: {error}."
        remedy = "The file is damaged: fetch it again, as binary."
        raise refused(path, what, remedy, where=f"message {number + 1}") from error
    return tuple(replace(one, message=number, path=str(path)) for one in fields)


def _check_is_no_page(path: Path) -> None:
    head = beginning(path, 1024).lstrip(b"\xef\xbb\xbf \t\r\n")
    if head[:1] == b"<":
        begins = head[:20].decode("latin-1")
        what = f"is a web page, not a forecast: it begins with {begins!r}."
        remedy = "Open it in a browser to see what the server says, then fetch the forecast again."
        raise refused(path, what, remedy)


def _decoded(path: Path, data: bytes, fields: Sequence[Field], bands: list[int]) -> SingleArray:
    """Return the values of these bands, (n_bands, n_rows, n_columns), NaN where there are none."""
    from rasterio.env import Env
    from rasterio.errors import RasterioError
    from rasterio.io import MemoryFile

    try:
        with (
            quiet(),
            Env(**_OPTIONS),
            MemoryFile(data, ext=".grib") as memory,
            memory.open(driver="GRIB") as dataset,
        ):
            _check_agrees(path, dataset, fields, bands)
            values: SingleArray = dataset.read(bands, out_dtype=np.float32)
            fills = dataset.nodatavals  # of all bands: asking for them takes a while
    except (RasterioError, OSError, ValueError, KeyError, IndexError) as error:
        what = f"cannot be decoded as GRIB: {error}."
        raise refused(path, what, "Fetch it again, as binary.") from error
    for plane, band in zip(values, bands, strict=True):
        if fills[band - 1] is not None:
            plane[plane == np.float32(fills[band - 1])] = np.nan
    values[~np.isfinite(values)] = np.nan
    return values


def _check_agrees(path: Path, dataset: Any, fields: Sequence[Field], bands: list[int]) -> None:
    """Raise unless the decoder tells the same fields and grid as the headers."""
    words = dataset.descriptions
    for one, band in zip(fields, bands, strict=True):
        told = _LEVEL.match(words[band - 1] or "") if band <= len(words) else None
        unit = 100.0 if told and told[2] == "hPa" else 1.0
        same = told is not None and abs(float(told[1]) * unit - one.level) <= 0.01 * one.level
        if one.kind == "pressure" and not same:
            what = "has fields that the decoder counts in another order than the headers do."
            raise refused(path, what, "Fetch it again.", where=f"message {one.message + 1}")
    layout = fields[0].layout
    if isinstance(layout, OtherLayout) or layout is None:
        return
    shape = (layout.n_rows, layout.n_columns)
    if (dataset.height, dataset.width) != shape or max(bands) > dataset.count:
        what = f"has {dataset.height} rows and {dataset.width} columns, its header {shape}."
        raise refused(path, what, "The file is damaged: fetch it again, as binary.")
