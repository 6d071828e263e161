"""Box: an area between two parallels and two meridians."""

from dataclasses import dataclass
from typing import Final

from farglide.earth.state import check_lat_lon
from farglide.errors import InputError

_WIDEST_BOX_DEG: Final = 90.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """An area between two parallels and two meridians, from west to east.

    Across the 180th meridian the east is the smaller number: west 179.5, east -179.5.
    """

    south_deg: float
    west_deg: float
    north_deg: float
    east_deg: float

    def __post_init__(self) -> None:
        check_lat_lon(self.south_deg, self.west_deg)
        check_lat_lon(self.north_deg, self.east_deg)
        if not self.south_deg < self.north_deg:
            allowed = f"more than south_deg, {self.south_deg}°"
            raise InputError("north_deg", f"{self.north_deg}°", allowed, "Swap the two.")
        if not 0.0 < self.width_deg <= _WIDEST_BOX_DEG:
            allowed = f"more than 0 to {_WIDEST_BOX_DEG:g}°"
            remedy = "Are west and east swapped? The area is what lies east of west_deg."
            raise InputError("width of the area", f"{self.width_deg:g}°", allowed, remedy)

    @property
    def width_deg(self) -> float:
        """Return how far the area reaches eastwards."""
        return (self.east_deg - self.west_deg) % 360.0

    def holds(self, lat_deg: float, lon_deg: float) -> bool:
        """Tell whether a place lies inside, or on the edge."""
        inside = self.south_deg <= lat_deg <= self.north_deg
        return inside and (lon_deg - self.west_deg) % 360.0 <= self.width_deg
