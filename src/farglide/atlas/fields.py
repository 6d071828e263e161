"""Places prepared to land on."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.atlas.outline import Outline, contains, edge_distance_m, longest_m
from farglide.errors import ContradictionError, InputError, check_range

LENGTHS_M: Final = (5.0, 10_000.0)
DIRECTIONS_DEG: Final = (0.0, 360.0)
_BESIDE_M: Final = 100.0
"""A field's point may lie so far outside its outline: both are read off a map."""
_LENGTH_SLACK: Final = 1.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A place to land: name, WGS84 position, ground height above mean sea level, and what it is.

    `length_m`: usable for the landing, `direction_deg`: true, along which one lands, either way
    round. `owner`: what the owner said; `last_light`: when the ground there gets too dark to see.
    """

    name: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    role: str = ""
    surface: str = ""
    outline: Outline | None = None
    length_m: float | None = None
    direction_deg: float | None = None
    obstacles: str = ""
    owner: str = ""
    last_light: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("field name", repr(self.name), "a name", "Each field needs its own.")
        where = f"field {self.name!r}"
        degrees = "Give decimal degrees, south and west negative."
        if not -90.0 <= self.lat_deg <= 90.0:
            raise InputError(f"{where} lat_deg", self.lat_deg, "-90 to 90°", degrees)
        if not -180.0 <= self.lon_deg <= 180.0:
            raise InputError(f"{where} lon_deg", self.lon_deg, "-180 to 180°", degrees)
        if self.lat_deg == 0.0 and self.lon_deg == 0.0:
            raise InputError(f"{where} place", "0, 0°", "a real place", "No place was given.")
        if not -430.0 <= self.amsl_m <= 6000.0:
            allowed = "-430 to 6000 m above mean sea level"
            raise InputError(f"{where} amsl_m", f"{self.amsl_m:g} m", allowed, "Feet x 0.3048 = m.")
        if self.length_m is not None:
            check_range(f"{where} length_m", self.length_m, "m", LENGTHS_M, "Of the landing run.")
        if self.direction_deg is not None:
            north = "North is 0, east 90; true, not magnetic."
            check_range(f"{where} direction_deg", self.direction_deg, "deg", DIRECTIONS_DEG, north)
        if self.outline is not None:
            self._check_outline(self.outline)

    def _check_outline(self, outline: Outline) -> None:
        """Refuse a point away from its outline, and a length that does not fit in."""
        at = np.array([self.lat_deg]), np.array([self.lon_deg])
        away_m = 0.0 if contains(outline, *at)[0] else float(edge_distance_m(outline, *at)[0])
        if away_m > _BESIDE_M:
            raise ContradictionError(
                f"field {self.name!r} lies {away_m:.0f} m outside its own outline; allowed: "
                f"{_BESIDE_M:.0f} m.",
                "Correct the place or the outline.",
            )
        longest = longest_m(outline)
        if self.length_m is not None and self.length_m > _LENGTH_SLACK * longest:
            raise ContradictionError(
                f"field {self.name!r} has a length_m of {self.length_m:g} m, but its outline is "
                f"only {longest:.0f} m across.",
                "Correct one of them.",
            )


def check_fields(fields: Sequence[Field]) -> None:
    """Return nothing for a usable set of fields; raise for none, or for the same one twice.

    Names are compared without case and outer blanks, places to 1e-5 degree (about a metre).
    """
    if not fields:
        raise InputError("fields", "none", "one or more, home first", "Without one all is a gap.")
    names: dict[str, Field] = {}
    places: dict[tuple[float, float], Field] = {}
    for field in fields:
        name = field.name.strip().casefold()
        place = (round(field.lat_deg, 5), round(field.lon_deg % 360.0, 5))
        if name in names:
            raise ContradictionError(
                f"two fields are called {field.name.strip()!r}.",
                "Rename one, so that an order given by name can mean one place only.",
            )
        if place in places:
            raise ContradictionError(
                f"fields {places[place].name!r} and {field.name!r} are the same place, "
                f"{field.lat_deg:g}, {field.lon_deg:g}°.",
                "Correct one or leave it out.",
            )
        names[name] = places[place] = field
