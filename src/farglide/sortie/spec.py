"""Sortie: one flight as stated and checked, every number with its doubt and its origin."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Final, Literal

from farglide.atlas.barriers import Barrier, Landmark
from farglide.atlas.fields import Field
from farglide.balloon.gas import Gas
from farglide.errors import InputError
from farglide.radio.ends.end import StatedLink
from farglide.sortie.feeds import FeedSpec
from farglide.sortie.launch_place import LaunchPlace
from farglide.sortie.release import ReleaseSpec

DRIVER: Final = "driver"
SECOND_CREW: Final = "second crew"
"""Who mans a stand: those who drive there from the launch, or others who wait there."""
UNTESTED_SD_DB: Final = 8.0
"""Doubt about a link's budget on paper (common practice, no source)."""


class Tag(StrEnum):
    """Where a number comes from, and so how far to trust it."""

    MEASURED = "measured"
    TYPICAL = "typical"
    GUESS = "guess"


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A number, the standard deviation of the doubt about it, and where it comes from.

    `sd` is in the unit of `value`; 0 means "taken as exact".
    """

    value: float
    sd: float = 0.0
    tag: Tag = Tag.MEASURED

    def __post_init__(self) -> None:
        if not (self.value == self.value and abs(self.value) != float("inf")):
            raise InputError("value", self.value, "a finite number")
        if not 0.0 <= self.sd < float("inf"):
            raise InputError("sd", self.sd, "0 or more, finite")

    @property
    def spread_ratio(self) -> float:
        """Return the standard deviation as a share of the value."""
        return self.sd / abs(self.value) if self.value else 0.0


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
class BalloonSpec:
    """A latex sounding balloon and its fill."""

    mass_kg: float
    burst_diameter_m: Known
    gas: Gas
    purity_ratio: float  # share of the gas by volume, the rest is air
    neck_lift_kg: Known
    drag_factor: Known  # multiplies the drag table; 1 = as the table
    drag_table: tuple[tuple[float, float], ...]  # (Reynolds number, C_d), rising Reynolds numbers
    gas_warmer_k: Known  # gas minus air; 0 at night, 5-25 in sun
    film_stiffness_npm: float  # shear modulus times unstretched thickness; 0 = slack film
    leak_ratio_ps: float = 0.0  # share of the gas lost per second at sea level density
    early_burst_ratio: Known = Known(value=0.03, sd=0.03, tag=Tag.GUESS)  # before the record counts
    n_flights: int = 0  # of such balloons, early bursts among them
    n_early_bursts: int = 0  # below 0.9 of the bursting diameter
    seen_to_ratio: float = 0.9  # the others were seen whole up to this share of that diameter


@dataclass(frozen=True, slots=True, kw_only=True)
class GliderSpec:
    """A glider as a point mass with a polar and limits."""

    mass_kg: float
    area_m2: float
    chord_m: float
    aspect_ratio: float
    span_efficiency: float
    zero_lift_drag: float  # C_D0 at and above the reference Reynolds number
    reference_reynolds: float
    reynolds_exponent: float
    lift_max: float  # C_L at the stall
    glide_factor: Known  # multiplies L/D: doubt about the polar
    flown_ratio: float  # what a hand-flown picture flight gets of the polar
    top_eas_mps: float
    top_mach: float
    gentle_bank_deg: float = 30.0
    speed_margin_ratio: float = 0.05  # of top EAS and Mach number, not flown on the way home
    hands_off_sink_eas_mps: Known | None = None
    spiral_sink_eas_mps: Known | None = None
    spin_sink_eas_mps: Known | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class DropSpec:
    """From the drop to steady flight, and the people who order it."""

    drop_drag: Known  # C_D of the falling glider
    pull_eas_mps: float
    pull_load: float
    level_angle_deg: float
    heading_s: Known  # time until the way home is found
    reaction_s: Known  # see, decide, press, link, actuate
    repeats_s: float  # time kept for command repeats
    n_releases: int = 0  # tried in tests and flights
    n_release_failures: int = 0
    n_pullouts: int = 0
    n_pullout_failures: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxSpec:
    """A pack's cells in a closed box, and what the crew measured of them in the cold."""

    cells_kg: float
    specific_heat_jpkgk: float
    insulation_wpk: Known  # heat through the walls for each kelvin between cells and air
    own_heat_ratio: float  # share of the load that stays in the box as heat
    start_k: float | None  # at the switch-on; None: as the air at the launch
    table: tuple[tuple[float, float], ...]  # (cell temperature in K, share of the energy left)
    table_spread_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSpec:
    """One battery pack and what it feeds; what the cold leaves is one share, or follows a box."""

    name: str
    energy_wh: Known
    load_w: float
    cold_ratio: Known | None  # share of the energy left in the cold; None with a box
    on_after_launch_s: float  # negative: switched on before launch
    reserve_s: float
    ageing_ratio: float = 1.0  # share of the rated energy that age has left
    box: BoxSpec | None = None

    @property
    def aged_wh(self) -> float:
        """Return the energy that age has left, warm."""
        return self.energy_wh.value * self.ageing_ratio


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
    beyond_mps: float = 10.0  # at and above the top of the sounding plus one deep depth
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
class WindSource:
    """Which file the winds come from, and what age and distance the crew accepts."""

    path: str
    accept_age_h: float = 3.0
    accept_distance_km: float = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainSpec:
    """What hangs between balloon and glider, and how it falls after a burst."""

    line_kg: float = 0.1
    remains_drag_area_m2: Known = Known(value=0.2, sd=0.1, tag=Tag.GUESS)
    canopy_m: float | None = None  # nominal diameter of a parachute on the line
    canopy_drag: float = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class HousingSpec:
    """A transmitter as a warm body."""

    heat_w: float
    area_m2: float
    mass_kg: float
    specific_heat_jpkgk: float
    flow_ratio: float  # share of the airspeed that passes over it; 0: still air
    emissivity_ratio: float
    sun_w: float  # taken up while the sun is up
    limit_k: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TriggerSpec:
    """One way to release, the parts without which it does not, and its record."""

    name: str
    needs: tuple[str, ...]
    n_tests: int
    n_failures: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PartSpec:
    """What the crew knows of one part that links or triggers need."""

    name: str
    at: Literal["aboard", "ground"]
    fails_in_3h_ratio: float | None
    swap_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkSpec(StatedLink):
    """One radio way as the flight file states it, with what the crew must know of its gear."""

    spread_db: float = UNTESTED_SD_DB  # one standard deviation of all that the budget does not know
    case: HousingSpec | None = None  # of the transmitter
    needs: tuple[str, ...] = ()  # parts without which the link is lost
    intermediate_hz: float | None = None  # of its receiver
    people_limit_wpm2: float | None = None  # the rules of the place, as the crew read them


@dataclass(frozen=True, slots=True, kw_only=True)
class TerrainSource:
    """Which files the heights of the ground come from."""

    paths: tuple[str, ...]
    void_amsl_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierSource:
    """A barrier whose outline stands in a file of its own."""

    name: str
    kind: str
    note: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesSource:
    """Which files fields, barriers and landmarks come from, besides those stated outright."""

    paths: tuple[str, ...] = ()
    barriers: tuple[BarrierSource, ...] = ()


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
class PayloadSpec:
    """A box that comes down under a parachute; its mass is that of the sortie's glider."""

    canopy_m: float  # nominal diameter
    canopy_drag: float = 0.8


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
    tags: dict[str, Tag] = field(default_factory=dict)  # flight-file key -> origin of its number

    @property
    def hanging_kg(self) -> float:
        """Return the mass that hangs below the balloon's neck."""
        return self.glider.mass_kg + self.train.line_kg
