"""Sortie: one flight as stated and checked, every number with its doubt and its origin."""

from dataclasses import dataclass, field
from typing import Final, Literal

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.fields import Field
from farglide.radio.ends.end import StatedLink
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.gear import (
    BalloonSpec,
    DropSpec,
    GliderSpec,
    HousingSpec,
    PackSpec,
    PartSpec,
    PayloadSpec,
    TrainSpec,
    TriggerSpec,
)
from farglide.sortie.known import Tag
from farglide.sortie.launch_place import LaunchPlace
from farglide.sortie.release import ReleaseSpec
from farglide.sortie.roads import Road
from farglide.sortie.sources import PlacesSource, TerrainSource, WindSource

DRIVER: Final = "driver"
SECOND_CREW: Final = "second crew"
"""Who mans a stand: those who drive there from the launch, or others who wait there."""
UNTESTED_SD_DB: Final = 8.0
"""Doubt about a link's budget on paper (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Launch:
    """Where and when the balloon leaves the hand."""

    name: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    t_s: float  # UTC seconds since 1970
    zone: str  # IANA name or "UTC+07:00": the zone in which times are shown
    may_drive_s: float | None = None  # from home to where it is launched; None: no limit


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtSpec:
    """How far winds may be off, and the ascent and the air's own vertical motion.

    None: as the age, the distance and the lead time of the winds tell.
    """

    shallow_wind_mps: float | None = None
    shallow_wind_depth_m: float | None = None
    deep_wind_mps: float | None = None
    deep_wind_ratio: float | None = None  # share of the speed
    deep_wind_depth_m: float | None = None
    beyond_mps: float = 12.5  # at and above the top of the sounding plus one deep depth
    vertical_mps: float = 0.2
    ascent_ratio: float | None = None  # of the mean climb; None: what the drag leaves in doubt
    ascent_band_ratio: float = 0.086  # of the speed in 5 km of height over that mean


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What the day is for: which fields count, from which height, how much chance is enough."""

    wanted_amsl_m: float = 20_000.0
    arrival_agl_m: float = 300.0
    open_ratio: float = 0.9
    doubtful_ratio: float = 0.5
    enough_ratio: float = 0.9  # a chance from which the day serves its purpose
    least_ratio: float = 0.1  # and down to which the wanted height is kept
    bring_to: Literal["home", "any"] = "any"  # home, or any field in the crew's order
    ground_wind_limit_mps: float = 5.0

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Return the shares that class a chance: words for one stay on its own side of them."""
        return (self.doubtful_ratio, self.open_ratio, self.enough_ratio)


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkSpec(StatedLink):
    """One radio way as the flight file states it, with what the crew must know of its gear."""

    spread_db: float = UNTESTED_SD_DB  # one standard deviation of all that the budget does not know
    case: HousingSpec | None = None  # of the transmitter
    needs: tuple[str, ...] = ()  # parts without which the link is lost
    intermediate_hz: float | None = None  # of its receiver
    people_limit_wpm2: float | None = None  # the rules of the place, as the crew read them


@dataclass(frozen=True, slots=True, kw_only=True)
class StandSpec:
    """A place from which the crew listens and commands."""

    name: str
    lat_deg: float
    lon_deg: float
    amsl_m: float
    mast_m: float
    drive_s: float | None = None  # from the launch, nine times in ten
    nose_deg: float | None = None  # of the standing car, from true north
    crew: str = DRIVER  # or SECOND_CREW: there from the launch on, without the driver


@dataclass(frozen=True, slots=True, kw_only=True)
class Sortie:
    """One flight, checked: everything the plan needs except the air."""

    name: str
    launch: Launch
    balloon: BalloonSpec
    train: TrainSpec
    glider: GliderSpec
    drop: DropSpec
    packs: tuple[PackSpec, ...]
    fields: tuple[Field, ...]  # the first is home
    doubt: DoubtSpec
    wish: Wish
    wind: WindSource | None
    links: tuple[LinkSpec, ...] = ()
    stands: tuple[StandSpec, ...] = ()
    terrain: TerrainSource | None = None
    release: ReleaseSpec = field(default_factory=ReleaseSpec)
    set_up_s: float = 600.0  # from stopping the car to a steady picture
    triggers: tuple[TriggerSpec, ...] = ()
    parts: tuple[PartSpec, ...] = ()
    barriers: tuple[Barrier, ...] = ()
    landmarks: tuple[Landmark, ...] = ()
    places: PlacesSource = PlacesSource()  # files not read yet
    launch_places: tuple[LaunchPlace, ...] = ()  # prepared to be launched from, beside the launch
    permissions: tuple[tuple[str, str], ...] = ()  # (what, held / asked / not needed / missing)
    payload: PayloadSpec | None = None  # then of the glider only the mass counts
    feeds: tuple[FeedSpec, ...] = ()  # of positions, on the day
    roads: tuple[Road, ...] = ()  # that are otherwise today
    tags: dict[str, Tag] = field(default_factory=dict)  # flight-file key -> origin of its number

    @property
    def hanging_kg(self) -> float:
        """Return the mass that hangs below the balloon's neck."""
        return self.glider.mass_kg + self.train.line_kg

    def permissions_in(self, state: str) -> tuple[str, ...]:
        """Return which permissions are in a state: held, asked, not needed or missing."""
        return tuple(what for what, told in self.permissions if told == state)
