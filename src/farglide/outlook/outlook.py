"""Outlook: what the plan found, as plain values; `--json` prints just this, key for key."""

from dataclasses import dataclass

from farglide.outlook.barriers import BarrierWay
from farglide.outlook.changes import Gain
from farglide.outlook.charted import ChartOutlook
from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.faults import CellHeat, Failures, TransmitterHeat
from farglide.outlook.fields import Contour
from farglide.outlook.gear import GliderRow
from farglide.outlook.launch import LaunchArea
from farglide.outlook.release import FlownOutlook, SideView, SpeedRow
from farglide.outlook.weaker import ExpectedPicture, WeakerLink


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook(DecisionOutlook):
    """All the plan found: the decision first, then what is compared with it and what carries it."""

    elsewhere: str  # from where else to launch, in a sentence, where that changes the day
    would_open: tuple[str, ...]
    launch: LaunchArea | None  # from where to launch; None without a field
    as_planned: Gain  # the base that gains and unknowns are told against, for the chosen field
    gains: tuple[Gain, ...]
    unknowns: tuple[Gain, ...]
    barriers: tuple[BarrierWay, ...] = ()  # on the way to the chosen field, from the release
    speeds: tuple[SpeedRow, ...]
    glider: tuple[GliderRow, ...]
    flown: FlownOutlook | None
    expected: tuple[ExpectedPicture, ...] = ()  # to find why a picture is worse
    weaker: tuple[WeakerLink, ...] = ()  # every link with 6, 9 and 12 dB less
    failures: Failures | None = None
    cells: tuple[CellHeat, ...] = ()  # of packs in a box
    transmitters: tuple[TransmitterHeat, ...] = ()
    side: SideView
    contours: tuple[Contour, ...]
    chart: ChartOutlook | None = None  # what maps show beside the answer
    levels_note: str
    notes: tuple[str, ...]  # what the readers dropped or assumed, and limits the plan ran into
    cautions: tuple[str, ...]
