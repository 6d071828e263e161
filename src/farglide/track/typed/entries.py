"""Entries: what a crew can type of a flight under way, each as one value with its limits."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from farglide.earth.state import HIGHEST_AMSL_M, LOWEST_AMSL_M, check_lat_lon
from farglide.errors import InputError, check_range
from farglide.track.handover.sentence import HandedOver

_NECK_KG: Final = (0.05, 20.0)
_LATE_MIN: Final = (-360.0, 1440.0)


class MarkKind(StrEnum):
    """Something that happened, marked by one key."""

    LAUNCHED = "launched"
    SENT = "release sent"
    RELEASED = "release seen"
    STUCK = "release stuck"
    BURST = "burst"
    LOST = "picture lost"
    BACK = "picture back"
    LAST = "last picture"
    DEAD = "packs empty"
    LANDED = "landed"


class Seen(StrEnum):
    """What is seen in the picture."""

    SUN = "sun"
    WOOD = "wood"
    WATER = "water"
    RIDGE = "ridge"
    BORDER = "border"


class Side(StrEnum):
    """On which side of the picture something is."""

    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlay:
    """Digits read off the picture; None for what was not typed.

    Valid: a place on the Earth, -500 to 100 000 m above sea level, up to 200 m/s, up to 60 V.
    """

    lat_deg: float | None = None
    lon_deg: float | None = None
    amsl_m: float | None = None
    speed_mps: float | None = None
    volts: float | None = None

    def __post_init__(self) -> None:
        numbers = (self.lat_deg, self.amsl_m, self.speed_mps, self.volts)
        if all(one is None for one in numbers):
            raise InputError("overlay", "empty", "height, place, speed or volts", "Type digits.")
        if (self.lat_deg is None) != (self.lon_deg is None):
            raise InputError("place", "half of one", "latitude and longitude", "Type both.")
        if self.lat_deg is not None and self.lon_deg is not None:
            check_lat_lon(self.lat_deg, self.lon_deg)
        for name, value, unit, allowed in (
            ("height", self.amsl_m, "m", (LOWEST_AMSL_M, HIGHEST_AMSL_M)),
            ("speed", self.speed_mps, "m/s", (0.0, 200.0)),
            ("volts", self.volts, "V", (0.0, 60.0)),
        ):
            if value is not None:
                check_range(name, value, unit, allowed, "Read the picture again.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """How good the picture is, 5 (clear) to 0 (none)."""

    grade: int

    def __post_init__(self) -> None:
        check_range("picture grade", self.grade, "", (0, 5), "5 is clear, 0 is no picture.")


ANTENNA_SD_DEG: Final = 5.0
THEODOLITE_SD_DEG: Final = 0.5
"""Errors of a hand-held antenna and of a theodolite set by the sun: common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bearing:
    """Where an antenna hears best, or a theodolite points: true azimuth, elevation if read.

    From a stand if named; `sd_deg`: of the pointing, one deviation.
    """

    azimuth_deg: float
    elevation_deg: float | None = None
    stand: str = ""
    sd_deg: float = ANTENNA_SD_DEG

    def __post_init__(self) -> None:
        check_range("azimuth", self.azimuth_deg, "deg", (0.0, 360.0), "True north is 0, east 90.")
        if self.elevation_deg is not None:
            remedy = "The level is 0, overhead 90."
            check_range("elevation", self.elevation_deg, "deg", (-10.0, 90.0), remedy)
        check_range("error of a bearing", self.sd_deg, "deg", (0.1, 90.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """What the picture shows: the sun at a clock position, or a barrier's edge left or right.

    12 is straight ahead of the glider, 3 to its right; the sun needs `clock_h`, an edge `side`.
    """

    what: Seen
    clock_h: float | None = None
    side: Side | None = None

    def __post_init__(self) -> None:
        if (self.what is Seen.SUN) != (self.clock_h is not None) or (
            (self.clock_h is None) == (self.side is None)
        ):
            allowed = "the sun at a clock hour, or an edge left or right"
            raise InputError("sighting", self.what.value, allowed, "Type: sun 11, or: wood left.")
        if self.clock_h is not None:
            check_range("clock position", self.clock_h, "h", (0.0, 12.0), "12 is straight ahead.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something that happened now."""

    kind: MarkKind


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckLift:
    """What the filled balloon lifts at its neck, as weighed."""

    kg: float

    def __post_init__(self) -> None:
        check_range("neck lift", self.kg, "kg", _NECK_KG, "Grams? Type g behind the number.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchMoved:
    """The launch is somewhere else."""

    lat_deg: float
    lon_deg: float

    def __post_init__(self) -> None:
        check_lat_lon(self.lat_deg, self.lon_deg)


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchLate:
    """The launch is so much later than planned; negative: earlier."""

    late_s: float

    def __post_init__(self) -> None:
        check_range("launch late", self.late_s / 60.0, "min", _LATE_MIN, "Type minutes: late 20.")


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadClosed:
    """The way between two places takes longer, or cannot be driven (None)."""

    start: str
    end: str
    longer_s: float | None

    def __post_init__(self) -> None:
        if not self.start.strip() or not self.end.strip():
            raise InputError("road", f"{self.start}-{self.end}", "two places", "road A-B +25")
        if self.start == self.end:
            raise InputError("road", f"{self.start}-{self.end}", "two different places")
        if self.longer_s is not None:
            check_range("detour", self.longer_s / 60.0, "min", (0.0, 360.0), "road A-B +25")


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldRefused:
    """Nobody may land on a field today."""

    field: str

    def __post_init__(self) -> None:
        if not self.field.strip():
            raise InputError("field", "nameless", "the name of a field", "Type: refused NAME.")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownFor:
    """For which field it is flown after the release, whatever is advised."""

    field: str

    def __post_init__(self) -> None:
        if not self.field.strip():
            raise InputError("field", "nameless", "the name of a field", "Type: for NAME.")


@dataclass(frozen=True, slots=True, kw_only=True)
class AtStand:
    """The crew is at a stand now."""

    stand: str

    def __post_init__(self) -> None:
        if not self.stand.strip():
            raise InputError("stand", "nameless", "the name of a stand", "Type: at NAME.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Undo:
    """The last entry is taken back, or the last of one mark, of one kind, or of one sight."""

    kind: MarkKind | None = None
    of: type | None = None
    what: Seen | None = None

    def takes(self, entry: "Entry") -> bool:
        """Tell whether an entry is one that this takes back."""
        if self.kind is not None:
            return entry == Mark(kind=self.kind)
        if self.what is not None:
            return isinstance(entry, Sighting) and entry.what is self.what
        return self.of is None or isinstance(entry, self.of)


Entry = (
    Overlay | Grade | Bearing | Sighting | Mark | NeckLift | LaunchMoved | LaunchLate | RoadClosed
    | FieldRefused | FlownFor | AtStand | HandedOver | Undo
)  # fmt: skip
