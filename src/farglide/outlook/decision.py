"""The decision and what the crew needs with it: all that is known before anything is compared."""

from dataclasses import dataclass

from farglide.outlook.ascent import AscentOutlook
from farglide.outlook.changes import Wait
from farglide.outlook.document import Documented
from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.outlook.fields import FieldOutlook, Gap
from farglide.outlook.gear import FillOutlook, PackEnd, SunOutlook
from farglide.outlook.links import CarOutlook, HeardLink, HeldStep, StandSky
from farglide.outlook.release import ReleaseOutlook
from farglide.outlook.weaker import BlindRelease


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionOutlook(Documented):
    """What the first screen says, in its order; the rest of an outlook changes none of it."""

    name: str
    launch_t_s: float
    zone: str
    launch_name: str
    launch_lat_deg: float
    launch_lon_deg: float
    verdict: str  # the answer in one sentence
    order: str  # by when to release, why, or else; empty without a release
    why: str  # what limits the chance, in a few sentences
    release: ReleaseOutlook | None
    fields: tuple[FieldOutlook, ...]
    gap_s: float
    gaps: tuple[Gap, ...]  # with no field open
    open_ratio: float  # chance from which a field counts as open, of the flight file
    doubtful_ratio: float  # and as doubtful; below it is shut
    enough_ratio: float  # chance from which the day serves its purpose
    cleared: bool  # no permission missing
    missing: tuple[str, ...]  # permissions that nobody has
    asked: tuple[str, ...]  # and those that are asked for, not held
    ground_wind_mps: float  # just above the launch
    ground_wind_limit_mps: float  # up to which the crew fills the balloon
    wind_origin: str
    wind_age_s: float
    wind_distance_m: float | None  # from the launch; None where the winds name no place
    n_draws: int
    seed: int
    latest_launch_delay_s: float | None
    holds: tuple[Wait, ...]
    car: CarOutlook | None  # None without a release, links or stands
    links: tuple[HeardLink, ...]
    held: tuple[HeldStep, ...]  # empty without links or stands
    skies: tuple[StandSky, ...] = ()  # of each stand; empty over flat ground
    ground: str  # where the heights of the ground come from; empty: flat ground assumed
    blind: BlindRelease | None = None  # the release sent without a picture
    fill: FillOutlook
    seconds_left: tuple[SecondsLeft, ...]
    unsteered: tuple[Unsteered, ...]
    ascent: AscentOutlook
    packs: tuple[PackEnd, ...]
    sun: SunOutlook
    suspicions: tuple[str, ...] = ()  # slips that flight and winds look like, to be looked at
    guesses: tuple[str, ...]  # numbers that nobody knows, in words
    usual: tuple[str, ...]  # numbers taken as usual, not measured

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Return the shares that class a chance: words for one stay on its own side of them."""
        return (self.doubtful_ratio, self.open_ratio, self.enough_ratio)
