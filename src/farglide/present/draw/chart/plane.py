"""Plane: where places stand on a map, north up, the same scale both ways."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final, Self

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import EastNorth, east_north_m, offsets_deg
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.present.draw import place
from farglide.present.draw.chart.grid import bilinear, east_of_deg
from farglide.present.draw.place import Edges, Point, Size

LatLon = tuple[float, float]
_LEAST_M: Final = 2000.0
_LATTICE: Final = 9
"""Corners of a side at which places are worked out exactly; between them they run evenly."""
_PART_PX: Final = 5.0
_MOST_PARTS: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """A map's paper: its size, its scale, and which metres east and north are in its middle."""

    origin: Place
    width_px: float
    height_px: float
    px_per_m: float
    middle_m: tuple[float, float]

    @classmethod
    def round(
        cls,
        origin: Place,
        metres: Sequence[tuple[float, float]],
        size_px: Size,
        margin_px: float,
    ) -> Self:
        """Return the largest scale at which places, east and north of the origin, fit inside."""
        east, north = zip(*metres, strict=True)
        wide_m, high_m = (max(max(one) - min(one), _LEAST_M) for one in (east, north))
        wide_px, high_px = (one - 2.0 * margin_px for one in size_px)
        return cls(
            origin=origin,
            width_px=size_px[0],
            height_px=size_px[1],
            px_per_m=min(wide_px / wide_m, high_px / high_m),
            middle_m=((max(east) + min(east)) / 2.0, (max(north) + min(north)) / 2.0),
        )

    @property
    def edges(self) -> Edges:
        """Return the box of the whole paper."""
        return Edges(0.0, 0.0, self.width_px, self.height_px)

    def xy(self, east_m: float, north_m: float) -> Point:
        """Return where metres east and north of the origin stand."""
        x = 0.5 * self.width_px + (east_m - self.middle_m[0]) * self.px_per_m
        return Point(x, 0.5 * self.height_px - (north_m - self.middle_m[1]) * self.px_per_m)

    def metres(self, lat_deg: float, lon_deg: float) -> EastNorth:
        """Return metres east and north of the origin; beyond the plane that is refused."""
        return east_north_m(self.origin, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0))

    def at(self, lat_deg: float, lon_deg: float) -> Point:
        """Return where a latitude and longitude stand."""
        return self.xy(*self.metres(lat_deg, lon_deg))

    def line(self, points: Iterable[LatLon]) -> list[Point]:
        """Return a line of latitudes and longitudes, without corners beyond the plane."""
        found = []
        for point in points:
            try:
                found.append(self.at(*point))
            except InputError:
                continue
        return found

    def places(self, n_rows: int, n_columns: int) -> tuple[FloatArray, FloatArray]:
        """Return latitudes and longitudes of even cells, rows from the top.

        Longitudes run on over the 180th meridian.
        """
        ys, xs = (np.linspace(0.0, one, _LATTICE) for one in (self.height_px, self.width_px))
        down, right = np.meshgrid(ys, xs, indexing="ij")
        east_m = self.middle_m[0] + (right - 0.5 * self.width_px) / self.px_per_m
        north_m = self.middle_m[1] - (down - 0.5 * self.height_px) / self.px_per_m
        lat, lon = offsets_deg(self.origin, east_m, north_m)
        middle_deg = self.origin.lon_deg
        rows, columns = ((np.arange(n) + 0.5) / n * (_LATTICE - 1) for n in (n_rows, n_columns))
        row, column = np.meshgrid(rows, columns, indexing="ij")
        lon = middle_deg + east_of_deg(middle_deg, lon)
        return bilinear(lat, row, column), bilinear(lon, row, column)

    def is_shown(self, at: Point, inset_px: float = 0.0) -> bool:
        """Tell whether a point lies on the paper."""
        is_wide = inset_px <= at.x <= self.width_px - inset_px
        return is_wide and inset_px <= at.y <= self.height_px - inset_px

    def thinned(self, points: Iterable[Point], least_px: float = 2.5) -> tuple[Point, ...]:
        """Return a line without the points that are hardly off the one before."""
        found: list[Point] = []
        for at in points:
            if not found or hypot(at.x - found[-1].x, at.y - found[-1].y) >= least_px:
                found.append(at)
        return tuple(found)

    def shown_along(self, points: Sequence[Point], inset_px: float = 12.0) -> tuple[Point, ...]:
        """Return places along a closed line that lie on the paper, a few pixels apart."""
        found = []
        for start, end in zip(points, [*points[1:], points[0]], strict=True):
            n = max(1, min(_MOST_PARTS, int(hypot(end.x - start.x, end.y - start.y) // _PART_PX)))
            found += [
                at for at in place.points_between(start, end, n) if self.is_shown(at, inset_px)
            ]
        return tuple(found)
