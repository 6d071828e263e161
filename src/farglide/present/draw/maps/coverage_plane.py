"""The paper of coverage: latitude and longitude run evenly over it, as the cells do."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import offset
from farglide.earth.state import wrapped_lon_deg
from farglide.outlook.coverage import Coverage
from farglide.present.draw.chart.plane import Plane
from farglide.present.draw.place import Point

MAP_PX: Final = 480.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CoveragePlane(Plane):
    """The paper of a circle; lengths are true at its middle."""

    cover: Coverage

    def at(self, lat_deg: float, lon_deg: float) -> Point:
        """Return where a latitude and longitude stand."""
        circle, half = self.cover.circle, 0.5 * MAP_PX
        east_deg = wrapped_lon_deg(lon_deg - circle.middle.lon_deg)
        north_deg = lat_deg - circle.middle.lat_deg
        x = half * (1.0 + east_deg / circle.half_lon_deg)
        return Point(x, half * (1.0 - north_deg / circle.half_lat_deg))

    def xy(self, east_m: float, north_m: float) -> Point:
        """Return where metres east and north of the middle stand."""
        there = offset(self.origin, east_m, north_m)
        return self.at(there.lat_deg, there.lon_deg)

    def places(self, n_rows: int, n_columns: int) -> tuple[FloatArray, FloatArray]:
        """Return latitudes and longitudes of even cells, rows from the top."""
        lat, lon = self.cover.circle.lat_edges_deg, self.cover.circle.lon_edges_deg
        down, right = ((np.arange(n) + 0.5) / n for n in (n_rows, n_columns))
        lats, lons = (
            one[0] + share * (one[-1] - one[0]) for one, share in ((lat, down), (lon, right))
        )
        rows, columns = np.meshgrid(lats, lons, indexing="ij")
        return rows, columns


def plane_of(cover: Coverage) -> CoveragePlane:
    """Return the paper that holds all of a coverage's cells."""
    return CoveragePlane(
        origin=cover.circle.middle,
        width_px=MAP_PX,
        height_px=MAP_PX,
        px_per_m=0.5 * MAP_PX / cover.circle.radius_m,
        middle_m=(0.0, 0.0),
        cover=cover,
    )
