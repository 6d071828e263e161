"""Links outlook: what the plan found of the links, as plain values."""

from dataclasses import dataclass
from typing import Final

from farglide.outlook.antennas import LinkAntennas
from farglide.outlook.faults import Failures
from farglide.outlook.weaker import ExpectedPicture, WeakerLink
from farglide.radio.clash import Clash

HIDDEN_DEG: Final = 1.0
"""Ground that stands higher than this over a stand is told by its azimuths."""
OVERHEAD_DEG: Final = 70.0
"""Above this an upright antenna hears little: its pattern has its hole there."""
NEAR_M: Final = 3000.0
"""Nearer than this even a null is loud enough (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardPoint:
    """One moment of the planned flight as a stand sees and hears it.

    Margins that one, five and nine of ten flights stay below, the budget's doubt included.
    """

    after_launch_s: float
    amsl_m: float
    azimuth_deg: float
    elevation_deg: float
    range_m: float
    slew_degps: float  # how fast the direction moves over the sky
    sun_azimuth_deg: float | None  # None while it is down
    p10: float
    p50: float
    p90: float
    grade: int  # of a picture at p50, 5 to 0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardStand:
    """One link from one stand: along the flight, and down to which height over each field."""

    name: str
    margin_db: tuple[HeardPoint, ...]
    silent: tuple[tuple[float, float], ...]  # (from, to) after_launch_s with less than even chance
    lost_agl_m: tuple[tuple[str, float | None], ...]  # (field, height); None: nowhere in reach
    overhead: tuple[tuple[float, float], ...]  # (from, to) after_launch_s nearly overhead
    down: tuple[HeardPoint, ...] = ()  # over the field, from the end of `margin_db` to the ground
    manned_after_launch_s: float = 0.0  # from then on somebody is there

    def nearest(self, after_launch_s: float) -> HeardPoint:
        """Return the moment nearest to a time."""
        return min(self.margin_db, key=lambda point: abs(point.after_launch_s - after_launch_s))

    @property
    def weakest(self) -> HeardPoint:
        """Return the moment with the least margin after the launch."""
        flown = [point for point in self.margin_db if point.after_launch_s > 0.0]
        return min(flown or self.margin_db, key=lambda point: point.p50)


@dataclass(frozen=True, slots=True, kw_only=True)
class BestStand:
    """Where one link is heard best in one phase of the flight: most in hand at its weakest."""

    phase: str
    stand: str
    margin_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StandSky:
    """The ground round a stand, as its antenna sees it above the level."""

    stand: str
    highest_deg: float
    highest_azimuth_deg: float
    hidden: tuple[tuple[float, float], ...]  # (from, to) azimuths with ground above HIDDEN_DEG


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetLine:
    """What makes up one margin: from the sender to what is left over, item by item."""

    stand: str
    after_launch_s: float
    range_m: float
    eirp_dbm: float
    free_space_db: float  # lost over that range in empty space
    receiving_db: float  # gain of the receiving antenna less its cable
    else_db: float  # all the rest: ground, gases, aim, polarisation, damage, a ground test
    received_dbm: float
    floor_dbm: float | None  # noise in the receiver's band; None where a sensitivity is stated
    threshold_dbm: float
    margin_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class HeardLink:
    """One link: its budget, and what each stand makes of it."""

    name: str
    purpose: str
    eirp_dbm: float
    threshold_dbm: float
    spread_db: float  # one standard deviation of the doubt about the budget
    reach_m: float
    half_reach_m: float  # with 6 dB in hand
    beam_deg: float  # of the antenna on the ground, at half its power, in its narrower plane
    stands: tuple[HeardStand, ...]
    best: tuple[BestStand, ...] = ()  # by phase; empty without stands
    budget: BudgetLine | None = None  # at the release, from the stand with most in hand then


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldStep:
    """Links at one moment of the climb, from the best stand for a release then."""

    after_launch_s: float
    amsl_m: float
    stand: str  # empty where none is manned yet
    grade: int  # of the picture of the climbing balloon, 5 to 0
    picture_db: float | None  # margins at the balloon; None without such a link
    command_db: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LostPicture:
    """Where one stand loses the picture over a field."""

    stand: str
    agl_m: float | None  # lost below this height over the ground; None: lost up to 3 km


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """Going on to another stand after the release."""

    stand: str
    silent_s: float  # drive and setting up: nobody has a picture
    lost_agl_m: float | None  # over the field, from there


@dataclass(frozen=True, slots=True, kw_only=True)
class RoadPoint:
    """What the moving car hears of the climbing balloon with an upright antenna on its roof."""

    after_launch_s: float
    lat_deg: float
    lon_deg: float
    margin_db: tuple[tuple[str, float], ...]  # (link, margin)


@dataclass(frozen=True, slots=True, kw_only=True)
class CarOutlook:
    """Where the car stands for the release, and until when it must have left."""

    stand: str
    lat_deg: float
    lon_deg: float
    east_m: float  # from the launch
    north_m: float
    nose_deg: float | None  # of the standing car, from true north; None: not stated
    holds_ratio: tuple[tuple[str, float], ...]  # (purpose, chance all the way to the field)
    drive_s: float
    drive_guessed: bool  # by the straight line, as none is stated
    set_up_s: float
    ready_after_launch_s: float  # for a car that leaves at the launch
    set_off_after_launch_s: float | None  # latest for the window; None: no drive
    lost_agl_m: float | None  # over the chosen field
    moves: tuple[Move, ...]  # to stands that see the field lower
    road: tuple[RoadPoint, ...]  # for a car that sets off at the latest; empty without a drive


@dataclass(frozen=True, slots=True, kw_only=True)
class LinksOutlook:
    """Everything about the links."""

    links: tuple[HeardLink, ...]
    held: tuple[HeldStep, ...]
    car: CarOutlook | None
    ground: str  # where the heights of the ground come from; empty: flat ground assumed
    skies: tuple[StandSky, ...] = ()  # of each stand; empty over flat ground


@dataclass(frozen=True, slots=True, kw_only=True)
class Deaf:
    """A transmitter that may be too strong for a receiver on the same side."""

    sender: str
    receiver: str
    level_dbm: float
    apart_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """What people before an antenna are given; `keep_away_m`: None where no limit is stated."""

    link: str
    density_wpm2: float
    at_m: float
    limit_wpm2: float | None
    keep_away_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbours:
    """What to test on the bench before the day."""

    clashes: tuple[Clash, ...]
    deaf: tuple[Deaf, ...]
    exposures: tuple[Exposure, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightLinks:
    """All links of a flight from all stands, released where the plan says."""

    name: str
    launch_t_s: float
    zone: str
    release_after_launch_s: float  # the median burst where nothing is worth a release
    field: str  # empty then
    outlook: LinksOutlook
    neighbours: Neighbours
    failures: Failures | None
    weaker: tuple[WeakerLink, ...]
    expected: tuple[ExpectedPicture, ...]
    antennas: tuple[LinkAntennas, ...] = ()  # of each link, in the order of the outlook's
