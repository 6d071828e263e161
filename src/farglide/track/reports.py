"""Reports: what a feed can say of where something is, as values, whatever its format was."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from farglide.errors import InputError, with_unit

_MOST_M: Final = 100_000.0


class HeightKind(StrEnum):
    """From where a height counts."""

    ELLIPSOID = "ellipsoid"
    SEA_LEVEL = "sea level"
    PRESSURE = "pressure"  # of the standard atmosphere at the pressure met


@dataclass(frozen=True, slots=True, kw_only=True)
class Raw:
    """Bytes as they came: of which feed, and when by this machine's clocks."""

    feed: str
    monotonic_s: float  # since the ride began, all its sittings laid end to end
    utc_s: float
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """One reported position; None for what was not said. `t_s`: UTC seconds by the sender's clock.

    Valid: latitude -90 to 90 degrees, longitude -180 to 180, height -1000 to 100 000 m, speed and
    satellites not negative, track 0 to 360 degrees.
    Raises InputError.
    """

    feed: str
    lat_deg: float
    lon_deg: float
    t_s: float | None = None
    height_m: float | None = None
    height_kind: HeightKind = HeightKind.SEA_LEVEL
    separation_m: float | None = None  # of the geoid above the ellipsoid, as the receiver has it
    speed_mps: float | None = None  # over ground
    track_deg: float | None = None  # towards
    n_satellites: int | None = None

    def __post_init__(self) -> None:
        for name, low, high in (
            ("lat_deg", -90.0, 90.0),
            ("lon_deg", -180.0, 180.0),
            ("height_m", -1000.0, _MOST_M),
            ("separation_m", -200.0, 200.0),
            ("speed_mps", 0.0, 1000.0),
            ("track_deg", 0.0, 360.0),
            ("n_satellites", 0, 200),
        ):
            check_said(name, getattr(self, name), name.rsplit("_", 1)[-1], low, high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A link was heard, without a position: that alone says something of where it is.

    Valid: strength -200 to 50 dBm. Raises InputError.
    """

    feed: str
    t_s: float | None = None
    strength_dbm: float | None = None

    def __post_init__(self) -> None:
        check_said("strength_dbm", self.strength_dbm, "dBm", -200.0, 50.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Attitude:
    """How it lies in the air: banked to the right, nose up, nose towards (from true north).

    Valid: roll -180 to 180, pitch -90 to 90, heading 0 to 360 degrees. Raises InputError.
    """

    feed: str
    roll_deg: float
    pitch_deg: float
    heading_deg: float
    t_s: float | None = None

    def __post_init__(self) -> None:
        check_said("roll_deg", self.roll_deg, "deg", -180.0, 180.0)
        check_said("pitch_deg", self.pitch_deg, "deg", -90.0, 90.0)
        check_said("heading_deg", self.heading_deg, "deg", 0.0, 360.0)


Report = Fix | Heard | Attitude
"""Whatever a feed can say."""


def check_said(name: str, value: float | None, unit: str, low: float, high: float) -> None:
    """Refuse what no sender can say; None was not said. Raises InputError."""
    if value is not None and not low <= value <= high:
        remedy = "The report is left out; look at what is plugged in."
        allowed = f"{low:g} to {with_unit(f'{high:g}', unit)}"
        raise InputError(name, with_unit(f"{value}", unit), allowed, remedy)
