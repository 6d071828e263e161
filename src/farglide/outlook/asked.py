"""Asked: what single questions of a flight in the air are answered with, as values."""

from dataclasses import dataclass

from farglide.outlook.ascent import Spread
from farglide.outlook.askedcar import GradeFound
from farglide.outlook.document import Documented
from farglide.outlook.faults import Unsteered
from farglide.outlook.fields import State


@dataclass(frozen=True, slots=True, kw_only=True)
class SunAim:
    """How a field lies to the sun: `right_deg`: the sun, to the right of the nose.

    `steer_deg` allows for the wind; None where no heading holds the course against it; `state` and
    `chance_ratio`: of the field, released or steered for now.
    """

    field: str
    state: State
    chance_ratio: float
    bearing_deg: float
    distance_m: float
    steer_deg: float | None
    right_deg: float | None
    good_for_s: float  # until the sun has moved on by a quarter of an hour of the clock's face


@dataclass(frozen=True, slots=True, kw_only=True)
class SunNow(Documented):
    """Where the sun stands for a glider released now, the field advised first."""

    after_launch_s: float
    amsl_m: float  # where it would be level
    azimuth_deg: float
    elevation_deg: float
    wind_from_deg: float
    wind_mps: float
    airspeed_mps: float  # as the way to the field advised begins, through the air there
    aims: tuple[SunAim, ...]
    sets_aloft_after_launch_s: float | None  # None: not within a day
    sets_after_launch_s: float | None  # on the ground of the field advised
    dusk_after_launch_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PackNow:
    """When a pack ends, without the time kept in hand."""

    name: str
    load_w: float
    on_after_launch_s: float
    reserve_s: float
    ends_after_launch_s: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """Two ways home from one moment: soonest over the field, and down from the flattest way."""

    let_go_after_launch_s: float
    soonest_after_launch_s: float
    slowly_after_launch_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerNow(Documented):
    """What ends first of packs and light, and when the glider is over its field or down."""

    after_launch_s: float
    field: str
    state: State  # of that field, let go now
    chance_ratio: float
    packs: tuple[PackNow, ...]  # the first to end first
    sets_after_launch_s: float | None
    dusk_after_launch_s: float | None
    arrivals: tuple[Arrival, ...]  # let go now, and at the release advised; empty out of reach


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelPass:
    """When the balloon climbs through a flight level."""

    level: int
    amsl_m: float
    after_launch_s: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class CallNow(Documented):
    """What to tell an air traffic unit: place, level, climb, levels ahead, where it comes down."""

    after_launch_s: float
    lat_deg: float
    lon_deg: float
    within_m: float
    from_launch_m: float
    from_launch_deg: float
    amsl_m: float
    level: int
    climb_mps: float
    moves_to_deg: float
    moves_mps: float
    levels: tuple[LevelPass, ...]
    field: str
    field_lat_deg: float
    field_lon_deg: float
    let_go_after_launch_s: tuple[float, float] | None
    down_after_launch_s: float | None  # as advised, let go at the window's end
    burst_after_launch_s: Spread
    unsteered: tuple[Unsteered, ...]
    airspace: str  # the permission, as the flight file has it


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultNow(Documented):
    """How long there is for a fault, the ride's own chances, and what a picture's grade says.

    Seconds from now; None where nothing of that kind comes.
    """

    after_launch_s: float
    wanted: str  # the card that was asked for; empty: none
    field: str
    release_in_s: float | None  # it is due
    door_in_s: float | None  # the field is not open any more
    burst_in_s: float | None  # for one in ten
    burst_ratio: float  # within five minutes
    leak_ratio: float
    winds_ratio: float  # times as far as told the winds miss
    grade: GradeFound | None  # None: no grade was told, or no picture link is stated


@dataclass(frozen=True, slots=True, kw_only=True)
class HandNow(Documented):
    """What is told the other car, in twelve words, and what they say."""

    after_launch_s: float  # of the moment that they tell
    words: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    phase: str
    field: str  # empty for none
    left_s: float | None
    wind: str
