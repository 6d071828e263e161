"""Fields: what a file of GRIB holds on pressure levels, cut to an area, laid finer, indexed."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
import rasterio

from bench.forecastserver.written import NUMBERS, Area, Stamp, Values, message
from farglide.gather.fetch.contents import Content, contents_of

_LEVEL: Final = re.compile(r"(\d+)\[Pa\] ISBL")
_OPTIONS: Final = {"GRIB_NORMALIZE_UNITS": "NO", "GRIB_USE_IDX": "NO", "GDAL_PAM_ENABLED": "NO"}
_MEMBER_RATIO: Final = 0.01
"""By how much one member's winds and heights differ from the next one's: made up."""


class Edges(NamedTuple):
    """Of an area in degrees, the east never west of the west."""

    north: float
    south: float
    west: float
    east: float


@dataclass(frozen=True, slots=True)
class World:
    """Fields of the whole world on one grid, by field and pressure in hPa."""

    fields: dict[tuple[str, float], Values]
    north: float
    west: float
    step: float

    def cut(
        self, pairs: Iterable[tuple[str, float]], edges: Edges, step: float, stamp: Stamp
    ) -> bytes:
        """Return messages of the wanted fields inside an area, laid on a grid of this step."""
        n_rows = round((edges.north - edges.south) / step) + 1
        n_columns = round((edges.east - edges.west) / step) + 1
        rows = (self.north - (edges.north - step * np.arange(n_rows))) / self.step
        columns = ((edges.west + step * np.arange(n_columns) - self.west) % 360.0) / self.step
        area = Area(edges.north, edges.west, step)
        more = 1.0 + _MEMBER_RATIO * (stamp.member or 0)
        return b"".join(
            message(*pair, _between(self.fields[pair], rows, columns) * more, area, stamp)
            for pair in pairs
            if pair in self.fields
        )


@cache
def read_world(path: Path) -> World:
    """Return the fields of a file, those of `NUMBERS` alone, on a grid of the whole world."""
    with rasterio.Env(**_OPTIONS), rasterio.open(str(path), driver="GRIB") as dataset:
        transform, fields = dataset.transform, {}
        for band in range(1, dataset.count + 1):
            level = _LEVEL.match(dataset.descriptions[band - 1])
            element = dataset.tags(band)["GRIB_ELEMENT"]
            if level and element in NUMBERS:
                key = (element, float(level[1]) / 100.0)
                fields[key] = dataset.read(band).astype(np.float64)
    return World(fields, transform.f + 0.5 * transform.e, transform.c + 0.5 * transform.a,
                 transform.a)  # fmt: skip


def index_of(path: Path) -> str:
    """Return the index of a file, as the producers write it beside theirs."""
    contents, data = iter(contents_of(path)), path.read_bytes()
    lines, place, k = [], 0, 0
    while place < len(data):
        length = int.from_bytes(data[place + 8 : place + 16], "big")
        k += 1
        n_fields = _n_fields(data[place : place + length])
        for within in range(1, n_fields + 1):
            number = f"{k}.{within}" if n_fields > 1 else f"{k}"
            lines.append(_line(number, place, next(contents)))
        place += length
    return "".join(f"{line}\n" for line in lines)


def _line(number: str, place: int, one: Content) -> str:
    run = f"{datetime.fromtimestamp(one.run_t_s, UTC):%Y%m%d%H}"
    level = "surface" if one.hpa is None else f"{one.hpa:g} mb"
    time = f"{one.lead_s / 3600.0:.0f} hour fcst" if one.lead_s else "anl"
    member = (
        "" if one.member is None else f"ENS={one.member:+d}" if one.member else "ENS=low-res ctl"
    )
    return f"{number}:{place}:d={run}:{one.field}:{level}:{time}:{member}"


def _n_fields(data: bytes) -> int:
    return sum(1 for number in _sections(data) if number == 4)


def _sections(data: bytes) -> Iterator[int]:
    place = 16
    while place < len(data) - 4:
        yield data[place + 4]
        place += int.from_bytes(data[place : place + 4], "big")


def _between(values: Values, rows: Any, columns: Any) -> Values:
    """Return values between those of a grid that goes round the world, linearly both ways."""
    top = np.clip(np.floor(rows).astype(int), 0, len(values) - 2)
    left = np.floor(columns).astype(int)
    down, right = (rows - top)[:, None], (columns - left)[None, :]
    left %= values.shape[1]
    after = (left + 1) % values.shape[1]
    upper = values[top][:, left] * (1.0 - right) + values[top][:, after] * right
    lower = values[top + 1][:, left] * (1.0 - right) + values[top + 1][:, after] * right
    mixed: Values = upper * (1.0 - down) + lower * down
    return mixed
