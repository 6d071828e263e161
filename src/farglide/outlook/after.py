"""After: what the ride answers once the balloon no longer carries the glider up."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import AimNow


class Stage(StrEnum):
    """What the flight is taken to be at, as far as advice hangs on it."""

    CARRIED = "carried"  # below a balloon that is whole
    DROPPED = "dropped"  # let go, and not level yet
    GLIDING = "gliding"  # level, steered
    TIED_ON = "falling, tied on"  # with what is left of a burst balloon
    UNSTEERED = "unsteered"  # nobody steers it
    DOWN = "down"


StoryName = Literal[
    "carried",
    "floating",
    "gliding",
    "hands off",
    "spiral",
    "spin",
    "falling with remains",
    "down",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryNow:
    """One thing that it may be at, and the chance of that; those of one moment sum to one."""

    story: StoryName
    chance_ratio: float


ShutBy = Literal["height", "packs", "light", "links"]
Way = Literal["flattest", "in time", "quickest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SteerNow:
    """Which field to steer for, and how to fly there, in what the crew can read.

    Speeds are those of the flight without errors in the winds as they are known now.
    """

    field: str
    chance_ratio: float  # the stories counted: nobody reaches it who does not steer
    away_m: float
    track_deg: float  # over ground, from true north
    way: Way  # with most height over the field, or that in time, or as soon as can be
    ground_mps: float
    sink_mps: float
    eas_mps: float
    until_amsl_m: float  # down to here these speeds serve
    arrival_agl_m: Spread | None  # the height over the field; None: out of reach
    over_after_launch_s: float
    down_after_launch_s: float
    must_end_after_launch_s: float
    must_end_by: Literal["packs", "light"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierAhead:
    """The first barrier on the way to the field advised.

    `turn_back_until_after_launch_s`: as advised, until then the field behind stays open; None
    where none lies behind, or it is not open any more.
    """

    barrier: str
    kind: str
    ahead: str
    behind: str  # empty where no field lies on this side
    chance_ratio: float  # of the field ahead
    edge_after_launch_s: float
    edge_amsl_m: float  # so high it comes there
    commit_amsl_m: float | None  # the least at the edge; None: from no height
    turn_back_until_after_launch_s: float | None
    shut_by: ShutBy | None = (
        None  # what makes the chance of the field ahead too low; None: it is not
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkEnd:
    """When a link to the glider ends on its way: less than an even chance from the car's stand."""

    purpose: str
    stand: str
    after_launch_s: float | None  # None: not on the way
    amsl_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LandingNow:
    """The last of the way over the field advised."""

    field: str
    wind_from_deg: float  # low over the field
    wind_mps: float
    ground_amsl_m: float
    lost_picture: tuple[tuple[str, float | None], ...]  # (stand, height over the field)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComesDown:
    """Where it comes down as one story has it, if nobody does anything from now on."""

    story: StoryName
    chance_ratio: float
    down_after_launch_s: float  # of the middle draw
    drift_m: float  # from where it is
    lat_deg: float
    lon_deg: float
    most_within_m: float  # nine tenths of the draws


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterNow:
    """All that is only known, or only asked, once nobody carries the glider up any more."""

    since_after_launch_s: float  # of the release or the burst
    is_marked: bool  # else it is taken for that by how it sinks
    is_by_fall: bool = False  # the stage is told by the likeliest stories, against the marks
    steer: SteerNow | None  # None: no field is in reach, or nothing steers
    barrier: BarrierAhead | None
    links: tuple[LinkEnd, ...]
    aim: AimNow | None  # from where the car is; None without a stand or a beam
    landing: LandingNow | None
    comes_down: tuple[ComesDown, ...]  # by story, the likeliest first; empty while it is steered
    comes_free_ratio: float | None  # of remains, if the release is sent; None: nothing is tied on
    packs_empty: bool = False  # by a mark: nobody can steer it or let it go
    is_sent: bool = False  # by a mark: the release was sent, and not marked as stuck since
