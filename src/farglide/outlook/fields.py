"""Each field over the climb: when it is open, and from where."""

from dataclasses import dataclass
from typing import Literal

from farglide.outlook.links import LostPicture

State = Literal["open", "doubtful", "shut"]
CauseKind = Literal[
    "mach", "top_eas", "speeds", "drop", "wind", "height", "packs", "light", "time", "command",
    "picture", "links", "stand",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """A limit that keeps a field from being open, and what it alone costs."""

    kind: CauseKind
    words: str
    is_guess: bool  # the limit, or what it is reckoned from
    saves_ratio: float  # share of draws that have the field open only without it


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A stretch of the climb in which a field keeps one state; bands follow time."""

    state: State
    from_amsl_m: float
    to_amsl_m: float
    from_after_launch_s: float
    to_after_launch_s: float
    reason: str  # the words of its causes, one after the other
    causes: tuple[Cause, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A stretch of the climb in which no field is open, and the field that comes nearest."""

    from_after_launch_s: float
    to_after_launch_s: float
    best_field: str  # empty without a field
    best_ratio: float  # its mean share over the stretch


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldStep:
    """One field for a release at one moment of the climb."""

    after_launch_s: float
    amsl_m: float
    reach_ratio: float  # in reach, holdable
    timely_ratio: float  # and packs and light last
    open_ratio: float  # and command and picture hold
    chance_ratio: float  # and not burst by then
    spare_m: float  # median height to spare over the field; NaN printed as null when shut


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldOutlook:
    """One field over the whole climb."""

    name: str
    role: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    east_m: float
    north_m: float
    bands: tuple[Band, ...]
    steps: tuple[FieldStep, ...]
    lost_picture_agl_m: tuple[LostPicture, ...]  # a row for each stand; empty without a picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """The ground line inside which a balloon at this height can send its glider to the field."""

    field: str
    amsl_m: float
    points: tuple[tuple[float, float], ...]  # (east_m, north_m) from the launch
