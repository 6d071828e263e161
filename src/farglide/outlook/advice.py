"""Advice: what the ride answers at one moment, from the launch to the ground."""

from dataclasses import dataclass
from enum import StrEnum

from farglide.outlook.after import AfterNow, Stage, StoryName, StoryNow
from farglide.outlook.ascent import Spread
from farglide.outlook.document import Documented
from farglide.outlook.fields import State
from farglide.outlook.freshness import AimNow, Freshness, NeedNow
from farglide.outlook.release import Ending


class Level(StrEnum):
    """How much an advice asks of the crew."""

    QUIET = "quiet"  # nothing to do
    WATCH = "watch"  # something will change soon, or is not as it was told
    DECIDE = "decide"  # a choice is open now
    NOW = "now"  # to be done at once


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceNow:
    """Where it is taken to be, and how sure that is."""

    lat_deg: float
    lon_deg: float
    amsl_m: float
    half_within_m: float  # over ground, of the draws
    most_within_m: float  # nine tenths
    seen_after_launch_s: float  # the last fix, or direction from the ground
    height_seen_after_launch_s: float | None = None  # None: with the place


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldNow:
    """One field, released or steered for now, and what becomes of it meanwhile.

    Carried, the changes are those while nobody lets go; after that, those on the way advised.
    """

    name: str
    state: State
    chance_ratio: float  # released now, the burst counted; or steered for, the stories counted
    open_ratio: float  # which the state is told by
    until_after_launch_s: float | None  # the state changes then; None: not on the way that is told
    then: State | None
    data: Freshness = Freshness.FRESH  # of the place, for this field
    shuts_after_launch_s: float | None = None  # nobody steering, or all tied on; None: not so soon
    shuts_amsl_m: float | None = None  # and how high it is then
    shuts_story: StoryName | None = None  # as this has it, the earliest of those that are likely
    arrival_agl_m: Spread | None = None  # height over it; None: carried, or out of reach


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited:
    """What a release is worth so much later, the burst until then counted."""

    seconds: float
    chance_ratio: float  # of the field advised, or of the best one now
    climbed_m: float  # of the middle draw
    burst_ratio: float  # by then, of the balloons whole now


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseAdvice:
    """For which field to let go, between which heights, and by when."""

    field: str
    from_amsl_m: float
    to_amsl_m: float
    from_after_launch_s: float
    to_after_launch_s: float
    release_by_after_launch_s: float
    chance_ratio: float
    bound_by: Ending
    is_enough: bool  # as good as the crew asks for


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstAhead:
    """When the balloon bursts if nobody lets go, given that it is whole now.

    NaN where so many never do: a balloon that leaks tops out.
    """

    after_launch_s: Spread
    amsl_m: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakNow:
    """Whether the balloon loses gas or climbs no more, and where it tops out if nobody lets go."""

    chance_ratio: float
    since_after_launch_s: float | None  # None: a leak is not likely
    top_amsl_m: Spread
    floats_since_after_launch_s: float | None = None  # None: it climbs


@dataclass(frozen=True, slots=True, kw_only=True)
class AirNow:
    """What the climb has told of the air."""

    measured_ratio: float  # of the doubt told about the layers between the ground and here
    ahead_ratio: float  # of the doubt about those from here to the top of the release
    spread_ratio: float  # how many times as wide as told the winds' errors look


@dataclass(frozen=True, slots=True, kw_only=True)
class FillNow:
    """What the filled balloon lifts at its neck: by the plan or a weighing, and by its climb."""

    told_kg: float
    told_sd_kg: float
    neck_lift_kg: Spread  # after the climb so far


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureOff:
    """How much stronger a picture link is than its budget, by the grades that were typed."""

    link: str
    offset_db: float
    offset_sd_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice(Documented):
    """One answer of the ride; times are seconds after the launch."""

    after_launch_s: float
    level: Level
    data: Freshness
    place: PlaceNow
    fields: tuple[FieldNow, ...]
    air: AirNow
    picture: PictureOff | None = None
    aims: tuple[AimNow, ...] = ()
    stage: Stage = Stage.CARRIED
    stories: tuple[StoryNow, ...] = ()  # the likeliest first; empty while it is carried
    needs: tuple[NeedNow, ...] = ()
    release: ReleaseAdvice | None = None  # and the next four: while it is carried alone
    waiting: tuple[Waited, ...] = ()  # of one, two and five minutes
    burst: BurstAhead | None = None
    leak: LeakNow | None = None
    fill: FillNow | None = None
    after: AfterNow | None = None  # once it is not
    changed: str = ""  # since the last advice, in one clause; of a running ride alone
