"""Places prepared to land on."""

from collections.abc import Sequence
from dataclasses import dataclass

from farglide.errors import ContradictionError, InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A place to land: name, WGS84 position, ground height above mean sea level, and what it is."""

    name: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    role: str = ""
    surface: str = ""

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise InputError("field name", repr(self.name), "a name", "Each field needs its own.")
        where = f"field {self.name!r}"
        degrees = "Give decimal degrees, south and west negative."
        if not -90.0 <= self.lat_deg <= 90.0:
            raise InputError(f"{where} lat_deg", self.lat_deg, "-90 to 90 deg", degrees)
        if not -180.0 <= self.lon_deg <= 180.0:
            raise InputError(f"{where} lon_deg", self.lon_deg, "-180 to 180 deg", degrees)
        if self.lat_deg == 0.0 and self.lon_deg == 0.0:
            raise InputError(f"{where} place", "0, 0 deg", "a real place", "No place was given.")
        if not -430.0 <= self.amsl_m <= 6000.0:
            allowed = "-430 to 6000 m above mean sea level"
            raise InputError(f"{where} amsl_m", f"{self.amsl_m:g} m", allowed, "Feet x 0.3048 = m.")


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
                f"two fields are called {field.name.strip()!r}: rename one, so that an order given "
                "by name can mean one place only."
            )
        if place in places:
            raise ContradictionError(
                f"fields {places[place].name!r} and {field.name!r} are the same place, "
                f"{field.lat_deg:g}, {field.lon_deg:g} deg: correct one or leave it out."
            )
        names[name] = places[place] = field
