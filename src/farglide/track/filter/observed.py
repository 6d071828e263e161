"""Observed: all that can be told of a glider after its release, each as one value."""

from dataclasses import dataclass
from typing import NamedTuple

from farglide.atlas.outline import Outline
from farglide.earth.state import Place, check_lat_lon
from farglide.errors import check_range

_HEIGHT_M = (-500.0, 100_000.0)
_SD_M = (0.1, 100_000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Nothing:
    """Time has passed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A fix: a place, and a height above sea level if it tells one; errors are one deviation.

    Raises InputError.
    """

    lat_deg: float
    lon_deg: float
    sd_m: float = 10.0
    amsl_m: float | None = None
    amsl_sd_m: float = 15.0

    def __post_init__(self) -> None:
        check_lat_lon(self.lat_deg, self.lon_deg)
        check_range("error of a place", self.sd_m, "m", _SD_M)
        if self.amsl_m is not None:
            check_range("height", self.amsl_m, "m", _HEIGHT_M)
        check_range("error of a height", self.amsl_sd_m, "m", _SD_M)


@dataclass(frozen=True, slots=True, kw_only=True)
class High:
    """A height above sea level alone. Raises InputError."""

    amsl_m: float
    sd_m: float = 30.0

    def __post_init__(self) -> None:
        check_range("height", self.amsl_m, "m", _HEIGHT_M)
        check_range("error of a height", self.sd_m, "m", _SD_M)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aimed:
    """Where an antenna hears best from its stand: true azimuth, and elevation if read.

    Raises InputError.
    """

    stand: Place
    azimuth_deg: float
    elevation_deg: float | None = None
    sd_deg: float = 5.0  # common practice, no source

    def __post_init__(self) -> None:
        check_range("azimuth", self.azimuth_deg, "deg", (0.0, 360.0), "True north is 0, east 90.")
        if self.elevation_deg is not None:
            check_range("elevation", self.elevation_deg, "deg", (-10.0, 90.0))
        check_range("error of a bearing", self.sd_deg, "deg", (0.1, 45.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class SunSeen:
    """The sun in the picture at a clock position: 12 is straight ahead, 3 to the right.

    Raises InputError.
    """

    clock_h: float
    sd_deg: float = 15.0  # by eye 10 to 15 degrees; common practice, no source

    def __post_init__(self) -> None:
        check_range("clock position", self.clock_h, "h", (0.0, 12.0), "12 is straight ahead.")
        check_range("error of a clock position", self.sd_deg, "deg", (1.0, 90.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeSeen:
    """The nearest edge of a barrier, one of some outlines, to the left or right of the nose."""

    outlines: tuple[Outline, ...]  # one or more
    is_left: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """How good the picture is at a stand, 5 (clear) to 0 (none). Raises InputError."""

    grade: int
    stand: int

    def __post_init__(self) -> None:
        check_range("picture grade", self.grade, "", (0, 5), "5 is clear, 0 is no picture.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkHeard:
    """A link was heard at a stand; both by their numbers in `Listeners`."""

    link: int
    stand: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkSilent:
    """A link was not heard at a stand all the time since it was asked of last."""

    link: int
    stand: int


What = Nothing | Placed | High | Aimed | SunSeen | EdgeSeen | Graded | LinkHeard | LinkSilent


class Observed(NamedTuple):
    """What was observed when; `number`: of its record, which its random numbers are keyed by."""

    number: int
    after_launch_s: float
    what: What
