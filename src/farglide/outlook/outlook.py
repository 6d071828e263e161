"""Outlook: what the plan found, as plain values; `--json` prints just this, key for key."""

from dataclasses import asdict, dataclass
from typing import Any

from farglide.outlook.ascent import AscentOutlook
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.changes import Gain, Wait
from farglide.outlook.charted import ChartOutlook
from farglide.outlook.faults import CellHeat, Failures, SecondsLeft, TransmitterHeat, Unsteered
from farglide.outlook.fields import Contour, FieldOutlook, Gap
from farglide.outlook.gear import FillOutlook, GliderRow, PackEnd, SunOutlook
from farglide.outlook.launch import LaunchArea
from farglide.outlook.links import CarOutlook, HeardLink, HeldStep, StandSky
from farglide.outlook.release import FlownOutlook, ReleaseOutlook, SideView, SpeedRow
from farglide.outlook.weaker import BlindRelease, ExpectedPicture, WeakerLink


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
    elsewhere: str  # from where else to launch, in a sentence, where that changes the day
    why: str  # the reason in one or two sentences
    cleared: bool  # no permission missing
    missing: tuple[str, ...]
    open_ratio: float  # chance from which a field counts as open, of the flight file
    doubtful_ratio: float  # and as doubtful; below it is shut
    enough_ratio: float  # chance from which the day serves its purpose
    ascent: AscentOutlook
    fields: tuple[FieldOutlook, ...]
    gap_s: float
    gaps: tuple[Gap, ...]  # with no field open
    release: ReleaseOutlook | None
    would_open: tuple[str, ...]
    fill: FillOutlook
    packs: tuple[PackEnd, ...]
    cells: tuple[CellHeat, ...] = ()  # of packs in a box
    transmitters: tuple[TransmitterHeat, ...] = ()
    failures: Failures | None = None
    sun: SunOutlook
    latest_launch_delay_s: float | None
    holds: tuple[Wait, ...]
    as_planned: Gain  # the base that gains and unknowns are told against, for the chosen field
    gains: tuple[Gain, ...]
    launch: LaunchArea | None  # from where to launch; None without a field
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
    chart: ChartOutlook | None = None  # what maps show beside the answer
    levels_note: str
    notes: tuple[str, ...]  # what the readers dropped or assumed, and limits the plan ran into
    cautions: tuple[str, ...]

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Return the shares that class a chance: words for one stay on its own side of them."""
        return (self.doubtful_ratio, self.open_ratio, self.enough_ratio)

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
