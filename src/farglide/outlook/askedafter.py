"""Asked after the release: what single questions are answered with once no balloon carries it."""

from dataclasses import dataclass

from farglide.outlook.after import ComesDown, LinkEnd, Stage
from farglide.outlook.askedcar import GradeFound
from farglide.outlook.document import Documented


@dataclass(frozen=True, slots=True, kw_only=True)
class StandAfter:
    """One stand for the rest of the way: from when it hears the glider, and down to where.

    `heard_ratio`: of the time from now to the end of the way, so much with picture and command;
    nothing is heard on the drive. `links`: when each ends, once the stand is set up.
    """

    name: str
    drive_s: float
    ready_after_launch_s: float
    set_off_after_launch_s: float | None  # latest to be set up when it is over; None: there
    is_in_time: bool
    heard_ratio: float | None  # None: no way, or no links, are known
    links: tuple[LinkEnd, ...]
    lost_agl_m: float | None  # over the field; None: no picture up to 3 km, or not known


@dataclass(frozen=True, slots=True, kw_only=True)
class ParkAfter(Documented):
    """Where the car should be until it has landed, and how far it is to where that will be."""

    after_launch_s: float
    field: str  # empty: none is steered for
    lat_deg: float | None  # where it comes down; None: nothing is known of it
    lon_deg: float | None
    over_after_launch_s: float | None  # when it is over the field
    down_after_launch_s: float | None
    drive_s: float | None  # from the car to where it comes down
    car: str  # what is known of where it is
    set_up_s: float
    stands: tuple[StandAfter, ...]  # the one to be at first


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelLeft:
    """When it sinks through a flight level, in the middle of what is believed."""

    level: int
    amsl_m: float
    after_launch_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CallAfter(Documented):
    """What to tell an air traffic unit of what sinks: place, level, sink, levels ahead, landing."""

    after_launch_s: float
    stage: Stage
    lat_deg: float
    lon_deg: float
    within_m: float  # nine tenths
    from_launch_m: float
    from_launch_deg: float
    amsl_m: float
    level: int
    sinks_mps: float | None  # None: not known
    moves_to_deg: float | None
    moves_mps: float | None
    moves_as_seen: bool  # by its last fixes; else as it is advised to
    levels: tuple[LevelLeft, ...]
    field: str  # empty: none is steered for
    field_lat_deg: float | None
    field_lon_deg: float | None
    over_after_launch_s: float | None
    down_after_launch_s: float | None
    comes_down: tuple[ComesDown, ...]
    airspace: str  # the permission, as the flight file has it


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultAfter(Documented):
    """How long there is for a fault after the release, and what a picture's grade says.

    Seconds from now; None where nothing of that kind comes.
    """

    after_launch_s: float
    stage: Stage
    wanted: str  # the card that was asked for; empty: none
    field: str  # empty: none is in reach
    door_in_s: float | None  # it is out of reach, nobody steering
    landing_in_s: float | None
    winds_ratio: float  # times as far as told the winds miss
    grade: GradeFound | None  # None: no grade was told, or no picture link is stated


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedNow(Documented):
    """A flight that is marked as down: where it was seen last; None where it never was."""

    after_launch_s: float
    lat_deg: float | None
    lon_deg: float | None
    amsl_m: float | None
    seen_after_launch_s: float | None
