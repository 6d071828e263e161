"""Layout: where on the earth the points of a field lie, as the header of the field defines it."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.sources.grids.octets import Octets

ALONG_GRID: Final = 0x08
"""Bit of the component flags: winds along the rows of the grid instead of to the east and north.

Source: WMO-No. 306, volume I.2: GRIB 2 flag table 3.3, bit 5; GRIB 1 table 7, bit 5.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenLayout:
    """Points evenly spaced in latitude and longitude, rows from the north to the south."""

    n_rows: int
    n_columns: int
    north_deg: float
    south_deg: float
    west_deg: float
    lon_step_deg: float

    @property
    def lat_deg(self) -> FloatArray:
        """Return the latitudes from the north to the south."""
        return np.linspace(self.north_deg, self.south_deg, self.n_rows)

    @property
    def goes_round(self) -> bool:
        """Tell whether the last column borders on the first across the whole circle."""
        return self.n_columns * self.lon_step_deg > 360.0 - 0.5 * self.lon_step_deg

    @property
    def n_round(self) -> int:
        """Return how many columns a whole circle has."""
        return round(360.0 / self.lon_step_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class LambertLayout:
    """Points evenly spaced in a Lambert conformal projection, rows from the top of the map down."""

    n_rows: int
    n_columns: int
    first_lat_deg: float  # of the first point in the file
    first_lon_deg: float
    first_is_top: bool
    lon_up_deg: float  # the meridian that is upright
    parallels_deg: tuple[float, float]
    true_lat_deg: float  # where the steps are told
    x_step_m: float
    y_step_m: float
    along_grid: bool  # whether winds are along the rows and columns
    radius_m: tuple[float, float]  # of the earth: half axes a and b


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherLayout:
    """A layout that is not read: its name, and what is wrong with it."""

    name: str


Layout = EvenLayout | LambertLayout | OtherLayout

NAMES: Final = {
    1: {1: "Mercator", 4: "Gaussian", 5: "polar stereographic", 10: "rotated latitude/longitude",
        20: "stretched latitude/longitude", 50: "spherical harmonics"},
    2: {1: "rotated latitude/longitude", 2: "stretched latitude/longitude", 10: "Mercator",
        20: "polar stereographic", 40: "Gaussian", 41: "rotated Gaussian",
        50: "spherical harmonics", 101: "unstructured", 150: "cells of equal area"},
}  # fmt: skip
_PLAIN_ORDERS: Final = (0x00, 0x40)
"""Rows from west to east, one after another, from the north or from the south."""
_LEAST_STEP_DEG: Final = 1e-4


class Counts(NamedTuple):
    """How many points there are along and across, and the flags of their order."""

    n_columns: int
    n_rows: int
    scanning: int


class Ends(NamedTuple):
    """Latitude and longitude of the first and of the last point in the file."""

    first_lat_deg: float
    first_lon_deg: float
    last_lat_deg: float
    last_lon_deg: float


def even_layout(counts: Counts, ends: Ends, step_deg: float | None) -> Layout:
    """Return the layout of points between the first and the last.

    Longitudes may count from 0 or from -180, and the last may be the smaller number; `step_deg` is
    the one that the header tells, rounded, or None.
    """
    n_columns, n_rows, mode = counts
    if mode not in _PLAIN_ORDERS:
        return OtherLayout(name=f"points in the order of scanning mode {mode:#04x}")
    if n_columns < 2 or n_rows < 2:
        return OtherLayout(name=f"a line of {n_columns} times {n_rows} points")
    first_lat, first_lon, last_lat, last_lon = ends
    north, south = (last_lat, first_lat) if mode & 0x40 else (first_lat, last_lat)
    span = (last_lon - first_lon) % 360.0
    step = span / (n_columns - 1)
    if step_deg is not None and abs(step - step_deg) > 0.02 * step_deg:
        step = step_deg  # a whole circle whose last point is the first, or a careless last point
    if not (north > south and abs(north) <= 90.0 and abs(south) <= 90.0 and step > _LEAST_STEP_DEG):
        return OtherLayout(name="rows whose latitudes do not follow the scanning mode")
    if n_columns * step > 360.0 + 1.5 * step:
        return OtherLayout(name=f"columns {step:g}° apart over more than the circle")
    return EvenLayout(
        n_rows=n_rows,
        n_columns=n_columns,
        north_deg=north,
        south_deg=south,
        west_deg=first_lon,
        lon_step_deg=step,
    )


@lru_cache(maxsize=64)  # all messages of a file have one, or a few
def layout_2(section: Octets) -> Layout:
    """Return the layout that section 3 of a GRIB 2 message defines.

    Source: WMO-No. 306, volume I.2, templates 3.0 and 3.30.
    """
    kind = section.count(13, 14)
    if section.count(11) or section.told(6, 6) not in (0, None):
        return OtherLayout(name="rows of different lengths")
    if kind == 30:
        return _lambert_2(section)
    if kind != 0:
        return OtherLayout(name=NAMES[2].get(kind, f"number {kind}"))
    unit = _angle_unit(section)
    n_columns, n_rows = section.told(31, 34), section.told(35, 38)
    if n_columns is None or n_rows is None:
        return OtherLayout(name="rows of different lengths")
    ends = Ends(
        section.signed(47, 50) * unit, section.signed(51, 54) * unit,
        section.signed(56, 59) * unit, section.signed(60, 63) * unit,
    )  # fmt: skip
    step = section.told(64, 67) if section.count(55) & 0x20 else None
    told = None if step is None else step * unit
    return even_layout(Counts(n_columns, n_rows, section.count(72)), ends, told)


@lru_cache(maxsize=64)
def layout_1(section: Octets) -> Layout:
    """Return the layout that section 2 of a GRIB 1 message defines.

    Source: WMO-No. 306, volume I.2, FM 92-IX Ext. GRIB, section 2 with table 6 values 0 and 3.
    """
    kind = section.count(6)
    if kind == 3:
        return _lambert_1(section)
    if kind != 0:
        return OtherLayout(name=NAMES[1].get(kind, f"number {kind}"))
    n_columns, n_rows = section.told(7, 8), section.told(9, 10)
    if n_columns is None or n_rows is None:
        return OtherLayout(name="rows of different lengths")
    ends = Ends(
        section.signed(11, 13) / 1e3, section.signed(14, 16) / 1e3,
        section.signed(18, 20) / 1e3, section.signed(21, 23) / 1e3,
    )  # fmt: skip
    step = section.told(24, 25) if section.count(17) & 0x80 else None
    told = None if step is None else step / 1e3
    return even_layout(Counts(n_columns, n_rows, section.count(28)), ends, told)


def _angle_unit(section: Octets) -> float:
    """Return the degrees of one unit: a millionth unless a basic angle is told."""
    basic, parts = section.told(39, 42), section.told(43, 46)
    return basic / parts if basic and parts else 1e-6


def _lambert_2(section: Octets) -> Layout:
    mode = section.count(65)
    if mode not in _PLAIN_ORDERS or section.count(64):
        return OtherLayout(name=f"Lambert conformal in the order of scanning mode {mode:#04x}")
    return LambertLayout(
        n_columns=section.count(31, 34),
        n_rows=section.count(35, 38),
        first_lat_deg=section.signed(39, 42) / 1e6,
        first_lon_deg=section.signed(43, 46) / 1e6,
        first_is_top=not mode & 0x40,
        lon_up_deg=section.signed(52, 55) / 1e6,
        parallels_deg=(section.signed(66, 69) / 1e6, section.signed(70, 73) / 1e6),
        true_lat_deg=section.signed(48, 51) / 1e6,
        x_step_m=section.count(56, 59) / 1e3,
        y_step_m=section.count(60, 63) / 1e3,
        along_grid=bool(section.count(47) & ALONG_GRID),
        radius_m=_radius_2(section),
    )


def _lambert_1(section: Octets) -> Layout:
    mode = section.count(28)
    if mode not in _PLAIN_ORDERS or section.count(27):
        return OtherLayout(name=f"Lambert conformal in the order of scanning mode {mode:#04x}")
    parallels = (section.signed(29, 31) / 1e3, section.signed(32, 34) / 1e3)
    flags = section.count(17)
    return LambertLayout(
        n_columns=section.count(7, 8),
        n_rows=section.count(9, 10),
        first_lat_deg=section.signed(11, 13) / 1e3,
        first_lon_deg=section.signed(14, 16) / 1e3,
        first_is_top=not mode & 0x40,
        lon_up_deg=section.signed(18, 20) / 1e3,
        parallels_deg=parallels,
        true_lat_deg=parallels[0],
        x_step_m=float(section.count(21, 23)),
        y_step_m=float(section.count(24, 26)),
        along_grid=bool(flags & ALONG_GRID),
        radius_m=_OBLATE_1 if flags & 0x40 else (6_367_470.0, 6_367_470.0),
    )


_OBLATE_1: Final = (6_378_160.0, 6_356_775.0)
"""Half axes of the earth of the International Astronomical Union, 1965; GRIB 1 table 7, bit 2."""
_SHAPES: Final = {
    0: (6_367_470.0, 6_367_470.0), 2: _OBLATE_1, 4: (6_378_137.0, 6_356_752.314),
    5: (6_378_137.0, 6_356_752.3142), 6: (6_371_229.0, 6_371_229.0),
    8: (6_371_200.0, 6_371_200.0),
}  # fmt: skip
"""Half axes in metres by number. Source: WMO-No. 306, volume I.2, code table 3.2."""


def _radius_2(section: Octets) -> tuple[float, float]:
    shape = section.count(15)
    if shape == 1:
        radius = section.count(17, 20) / 10.0 ** section.count(16)
        return radius, radius
    if shape in (3, 7):
        unit = 1e3 if shape == 3 else 1.0
        major = unit * section.count(22, 25) / 10.0 ** section.count(21)
        minor = unit * section.count(27, 30) / 10.0 ** section.count(26)
        return major, minor
    return _SHAPES.get(shape, _SHAPES[6])
