"""Asked: what single questions of a flight in the air are answered with, as values."""

from dataclasses import dataclass

from farglide.outlook.ascent import Spread
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.document import Documented
from farglide.outlook.faults import Unsteered
from farglide.outlook.places import Outlandings
from farglide.outlook.release import SpeedRow


@dataclass(frozen=True, slots=True, kw_only=True)
class SunAim:
    """How a field lies to the sun: `right_deg`: the sun, to the right of the nose.

    `steer_deg` allows for the wind; None where no heading holds the course against it.
    """

    field: str
    bearing_deg: float
    distance_m: float
    steer_deg: float | None
    right_deg: float | None
    good_for_s: float  # until the sun has moved on by a quarter of an hour of the clock's face


@dataclass(frozen=True, slots=True, kw_only=True)
class SunNow(Documented):
    """Where the sun stands for a glider released now, the field advised first."""

    after_launch_s: float
    amsl_m: float
    azimuth_deg: float
    elevation_deg: float
    wind_from_deg: float
    wind_mps: float
    airspeed_mps: float  # the flattest glide's, through the air there
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
    packs: tuple[PackNow, ...]  # the first to end first
    sets_after_launch_s: float | None
    dusk_after_launch_s: float | None
    arrivals: tuple[Arrival, ...]  # let go now, and at the release advised; empty out of reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A link of a purpose from a stand: what it has in hand now, and how surely."""

    purpose: str
    margin_db: float
    sd_db: float
    holds_ratio: float  # now
    grade: int | None  # of a picture, 5 to 0


@dataclass(frozen=True, slots=True, kw_only=True)
class StandNow:
    """One stand: how far it is, what it hears of the balloon now and over the field.

    `holds_ratio`: for each field the chance of all links from the release to it, from there alone;
    empty where nothing is advised. `is_in_time`: set up before the release is due.
    """

    name: str
    drive_s: float
    ready_after_launch_s: float
    set_off_after_launch_s: float | None  # latest for the window; None: nothing is advised
    azimuth_deg: float
    elevation_deg: float
    range_m: float
    overhead_deg: float  # how high it stands at the release
    links: tuple[Heard, ...]
    lost_agl_m: float | None  # over the field advised; None: never a picture there
    holds_ratio: tuple[tuple[str, float], ...]
    is_in_time: bool
    nose_deg: float | None = None

    def holds(self, field: str) -> float | None:
        """Return the chance for one field; None where it is not known."""
        return dict(self.holds_ratio).get(field)


@dataclass(frozen=True, slots=True, kw_only=True)
class ParkNow(Documented):
    """The stands, best first, with the car where it is."""

    after_launch_s: float
    field: str
    from_after_launch_s: float | None  # of the release advised
    car: str  # what is known of where it is
    set_up_s: float
    stands: tuple[StandNow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Later:
    """Where the balloon is so much later if nothing is sent."""

    seconds: float
    lat_deg: float
    lon_deg: float
    amsl_m: float
    burst_ratio: float  # by then, of the balloons whole now


@dataclass(frozen=True, slots=True, kw_only=True)
class LostNow(Documented):
    """What to do without a picture while the balloon still carries the glider."""

    after_launch_s: float
    field: str
    release_by_after_launch_s: float | None
    fix_until_after_launch_s: float | None  # then the release is sent unseen, and repeated
    chance_ratio: float | None  # of the release advised
    stand: StandNow | None  # of the car, else the one that hears best
    later: tuple[Later, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureNow(Documented):
    """Which picture there should be now, and how low over the field it lasts."""

    after_launch_s: float
    field: str
    stands: tuple[StandNow, ...]  # that of the car first, else the one that hears best


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
    down_after_launch_s: float | None  # soonest over the field, let go at the window's end
    burst_after_launch_s: Spread
    unsteered: tuple[Unsteered, ...]
    airspace: str  # the permission, as the flight file has it


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedNow(Documented):
    """What to fly home, let go now; no rows where the field is out of reach."""

    after_launch_s: float
    field: str
    is_in_time: bool  # of the flat way: it ends before packs and light
    level_after_s: float  # after the release
    level_amsl_m: float
    spare_m: float | None
    wind_from_deg: float
    wind_mps: float
    rows: tuple[SpeedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierNow(Documented):
    """The barriers on the straight way to the field, let go now."""

    after_launch_s: float
    field: str
    chance_ratio: float
    level_amsl_m: float
    over_edge_amsl_m: tuple[float | None, ...]  # of each way: flown flat; None: below the ground
    ways: tuple[BarrierWay, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PutdownNow(Documented):
    """Where to put it, let go now, if no field is open."""

    after_launch_s: float
    lat_deg: float
    lon_deg: float
    best_field: str
    best_ratio: float
    otherwise: Outlandings
