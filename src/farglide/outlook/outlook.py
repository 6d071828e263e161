"""Outlook: what the plan found, as plain values; `--json` prints just this, key for key."""

from dataclasses import asdict, dataclass
from typing import Any, Literal

from farglide.outlook.barriers import BarrierWay
from farglide.outlook.hardware import CellHeat, Failures, TransmitterHeat
from farglide.outlook.links import CarOutlook, HeardLink, HeldStep, LostPicture, StandSky
from farglide.outlook.side import SideView
from farglide.outlook.weaker import BlindRelease, ExpectedPicture, WeakerLink

State = Literal["open", "doubtful", "shut"]
Ending = Literal["burst", "reach", "packs", "light", "command", "picture"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The values that one, five and nine of ten draws stay below."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackPoint:
    """The median of the balloons still whole at one moment of the climb."""

    after_launch_s: float
    amsl_m: float
    lat_deg: float
    lon_deg: float
    east_m: float
    north_m: float
    spread_m: float  # radius that holds nine of ten draws


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelPassage:
    """When the balloon passes a flight level, from the pressure of the column."""

    flight_level: int
    after_launch_s: Spread
    lat_deg: float
    lon_deg: float
    radius_m: float  # holds nine of ten draws


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstOutlook:
    """Where and when the climb ends, and how the odds grow."""

    height_amsl_m: Spread
    after_launch_s: Spread
    lat_deg: float
    lon_deg: float
    by_time: tuple[tuple[float, float], ...]  # (after_launch_s, share burst by then)
    by_height: tuple[tuple[float, float], ...]  # (amsl_m, share burst below)
    within_60_s: tuple[tuple[float, float], ...]  # (after_launch_s, odds in 60 s if still whole)


@dataclass(frozen=True, slots=True, kw_only=True)
class AscentOutlook:
    """The climb: track, burst, levels."""

    mean_mps: Spread
    track: tuple[TrackPoint, ...]
    burst: BurstOutlook
    levels: tuple[LevelPassage, ...]
    farthest_km: float
    beyond_amsl_m: float | None  # above this height the winds are an extension of the sounding


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A stretch of the climb in which a field keeps one state; bands follow time."""

    state: State
    from_amsl_m: float
    to_amsl_m: float
    from_after_launch_s: float
    to_after_launch_s: float
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldStep:
    """One field for a release at one moment of the climb."""

    after_launch_s: float
    amsl_m: float
    reach_ratio: float  # in reach, holdable
    timely_ratio: float  # and packs and light last
    open_ratio: float  # and command and picture hold
    odds_ratio: float  # and not burst by then
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
class Window:
    """From when to when the odds are within 0.02 of their best above the wanted height."""

    from_after_launch_s: float
    to_after_launch_s: float
    from_amsl_m: float
    to_amsl_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TimelyOutlook:
    """The flight with most height over the field of those that end before packs and light do."""

    spare_m: float
    over_field_after_launch_s: float
    down_after_launch_s: float
    firm_spiral: bool  # down from there in the firm spiral; else in gentle circles


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseOutlook:
    """The decision: which field, when, with what odds, and what ends the window."""

    field: str
    odds_ratio: float
    open_ratio: float
    window: Window
    release_by_after_launch_s: float
    release_by_amsl_m: float
    bound_by: Ending
    burst_ratio: float  # burst odds up to the release-by time
    burst_within_120_s_ratio: float  # price of two more minutes at the release-by time
    spare_m: float
    arrival_agl_m: float  # height over the field at which it counts as reached
    over_field_after_launch_s: float  # quickest arrival at that height
    best_glide_end_after_launch_s: float  # flattest way home, then circling down at best glide
    firm_spiral_end_after_launch_s: float | None  # flattest way home, then down in a firm spiral
    must_end_after_launch_s: float  # the first of packs and light, without errors
    must_end_by: Literal["packs", "light"]
    timely: TimelyOutlook | None  # None where the flattest way itself ends in time, or none does
    crew_ratio: float  # lower bound of releases and pull-outs that work, from the crew's record
    product_ratio: float  # odds_ratio x crew_ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class FillRow:
    """One fill: what to hang, and what follows."""

    neck_lift_kg: float
    height_at_5_min_amsl_m: float
    burst_amsl_m: float
    burst_after_launch_s: float
    drift_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FillOutlook:
    """The fill as a dead weight to hang, the gas it takes, and its neighbours."""

    gas: str
    neck_lift_kg: float
    free_lift_kg: float
    volume_m3: float
    bottle_ratio: float  # share of a 50 l, 200 bar bottle
    rows: tuple[FillRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackEnd:
    """When a pack ends."""

    name: str
    after_launch_s: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class SunOutlook:
    """Light on the same clock."""

    sunset_after_launch_s: float | None
    dusk_after_launch_s: float | None
    azimuth_deg: float  # at the release
    elevation_deg: float
    field: str  # the chosen one, or home
    field_bearing_deg: float  # from the balloon at the release
    field_distance_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """One change to the plan and what it buys, or one guess and what it costs."""

    what: str
    odds_ratio: float
    shut_s: float  # time with home shut from T+3 min to the median burst
    release_by_shift_s: float
    advice: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchSpot:
    """Launching elsewhere: along the drift from home (up-drift positive) and across."""

    up_drift_m: float
    across_m: float  # positive: to the left of the drift
    odds_ratio: float
    shut_s: float
    release_by_after_launch_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What waiting on the ground with packs on costs."""

    delay_s: float
    odds_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedRow:
    """What to fly at one height on the way to the field, and what the crew can read of it."""

    amsl_m: float
    quick_eas_mps: float
    quick_ground_mps: float
    quick_sink_mps: float
    timely_eas_mps: float | None  # None without such a flight, and where it circles
    timely_ground_mps: float | None
    timely_sink_mps: float | None
    flat_eas_mps: float | None  # None below the height where the flattest way begins to circle
    flat_ground_mps: float | None
    flat_sink_mps: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Contour:
    """The ground line inside which a balloon at this height can send its glider to the field."""

    field: str
    amsl_m: float
    points: tuple[tuple[float, float], ...]  # (east_m, north_m) from the launch


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownOutlook:
    """All draws flown from hand to ground to one order, steered straight to the field."""

    release_after_launch_s: float
    over_field_ratio: float  # over the field at the arrival height or more; packs not counted
    burst_before_ratio: float  # burst before the release: released after the reaction time
    over_field_amsl_m: Spread
    down_after_launch_s: Spread  # best speed home, then gentle circles
    peak_mach: float  # of all pull-outs
    missed_lat_deg: float | None  # middle of where the others came down
    missed_lon_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsteered:
    """What comes down with nobody steering it: where, when, and how widely spread."""

    what: str
    from_after_launch_s: float
    from_amsl_m: float
    down_after_launch_s: Spread
    drift_m: float  # from where it began
    lat_deg: float
    lon_deg: float
    radius_m: float  # holds nine of ten draws


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondsLeft:
    """After a burst with the glider still tied on: how long each field stays in reach."""

    burst_amsl_m: float
    field: str
    seconds_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GliderRow:
    """What the glider is at one height."""

    amsl_m: float
    stall_tas_mps: float
    best_tas_mps: float
    best_eas_mps: float
    glide_ratio: float
    sink_mps: float
    top_tas_mps: float
    mach: float
    reynolds: float
    turn_radius_m: float
    pullout_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """All the plan found."""

    name: str
    launch_t_s: float
    zone: str
    launch_name: str
    n_draws: int
    seed: int
    wind_origin: str
    wind_age_s: float
    verdict: str  # the answer in one sentence
    why: str  # the reason in one or two sentences
    cleared: bool  # no permission missing
    missing: tuple[str, ...]
    open_ratio: float  # odds from which a field counts as open, of the flight file
    doubtful_ratio: float  # and as doubtful; below it is shut
    ascent: AscentOutlook
    fields: tuple[FieldOutlook, ...]
    gap_s: float
    gaps: tuple[tuple[float, float], ...]  # (from, to) after_launch_s with no field open
    release: ReleaseOutlook | None
    would_open: tuple[str, ...]
    fill: FillOutlook
    packs: tuple[PackEnd, ...]
    cells: tuple[CellHeat, ...] = ()  # of packs in a box
    transmitters: tuple[TransmitterHeat, ...] = ()
    failures: Failures | None = None
    sun: SunOutlook
    latest_launch_delay_s: float | None
    holds: tuple[Hold, ...]
    as_planned: Gain  # the base that gains and unknowns are told against, for the chosen field
    gains: tuple[Gain, ...]
    launch_spots: tuple[LaunchSpot, ...]
    unknowns: tuple[Gain, ...]
    flown: FlownOutlook | None
    unsteered: tuple[Unsteered, ...]
    seconds_left: tuple[SecondsLeft, ...]
    glider: tuple[GliderRow, ...]
    speeds: tuple[SpeedRow, ...]
    links: tuple[HeardLink, ...]
    held: tuple[HeldStep, ...]  # empty without links or stands
    car: CarOutlook | None  # None without a release, links or stands
    weaker: tuple[WeakerLink, ...] = ()  # every link with 6, 9 and 12 dB less
    blind: BlindRelease | None = None  # the release sent without a picture
    expected: tuple[ExpectedPicture, ...] = ()  # to find why a picture is worse
    skies: tuple[StandSky, ...] = ()  # of each stand; empty over flat ground
    ground: str  # where the heights of the ground come from; empty: flat ground assumed
    barriers: tuple[BarrierWay, ...] = ()  # on the way to the chosen field, from the release
    side: SideView
    contours: tuple[Contour, ...]
    levels_note: str
    notes: tuple[str, ...]  # what the readers dropped or assumed, and limits the plan ran into
    cautions: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """Return the whole outlook as JSON-ready values, NaN as None."""
        clean = _clean(asdict(self))
        assert isinstance(clean, dict)
        return clean


def _clean(value: object) -> object:
    if isinstance(value, dict):
        return {key: _clean(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(item) for item in value]
    if isinstance(value, float):
        return round(value, 6) if value == value and abs(value) != float("inf") else None
    return value
