"""The frame of the release chart: its sizes, and where heights and columns stand."""

from dataclasses import dataclass
from typing import Final

from farglide.outlook.fields import FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.draw import lookup
from farglide.present.draw.ladder.heads import Heads, Named, heads_of
from farglide.present.say.text import FlightClock


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderLook:
    """Sizes of a release chart in pixels of its own picture."""

    width_px: float = 425.0
    height_px: float = 456.0
    left_px: float = 38.0
    right_px: float = 79.0
    bottom_px: float = 8.0
    ending_px: float = 43.0
    dots_px: float = 8.0  # of the ending column; 0 leaves the words alone
    gap_px: float = 6.0
    head_px: float = 13.4
    word_px: float = 12.0
    small_px: float = 12.2
    figure_px: float = 15.0
    window_px: float = 17.0
    dot_px: float = 7.0
    link_px: float = 11.0  # of the picture's and of the command's column
    n_columns: int = 6


PAPER: Final = LadderLook()
PHONE: Final = LadderLook(
    width_px=358.0, height_px=470.0, left_px=38.0, right_px=78.0, ending_px=43.0, dots_px=0.0,
    gap_px=5.0, head_px=14.0, word_px=12.4, small_px=12.6, figure_px=16.0, window_px=17.0,
    link_px=9.0, n_columns=3,
)  # fmt: skip

HATCH: Final = 0.66  # the scale of the lines of doubt
FIRST_RATIO: Final = 1.18  # the first column against the others
BESIDE_HEAD_PX: Final = 58.0  # of the turned heads of links and packs


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldColumn:
    """One field's column: its number, where it begins and how wide it is."""

    number: int
    field: FieldOutlook
    x: float
    width: float


class ChartFrame:
    """The geometry of one chart: what its strokes stand on."""

    def __init__(self, outlook: Outlook, look: LadderLook, key: str) -> None:
        self.outlook, self.look, self.key = outlook, look, key
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        self.burst = outlook.ascent.burst
        self.top_km = lookup.top_of_scale_km(self.burst)
        cap_m = lookup.burst_height_amsl_m(self.burst, lookup.SHOWN_SHARE)
        self.cap_km = min(float(self.top_km), cap_m / 1000.0)
        self.ending_x = look.width_px - look.right_px - look.ending_px
        self.end_x = self.ending_x + look.ending_px
        n_beside = len(lookup.shown_columns(outlook))
        self.links_x = self.ending_x - n_beside * (look.link_px + look.gap_px)
        self.columns = self._columns()
        self.heads = self._heads()
        self.top = max(self.heads.height_px, BESIDE_HEAD_PX if n_beside else 30.0)

    def y(self, height_km: float) -> float:
        """Return where a height stands."""
        return self.top + self.span() * (1.0 - height_km / self.top_km)

    def span(self) -> float:
        """Return the height of the whole scale in pixels."""
        return self.look.height_px - self.top - self.look.bottom_px

    def height_km(self, y: float) -> float:
        """Return the height that stands at a pixel."""
        return self.top_km * (1.0 - (y - self.top) / self.span())

    def _columns(self) -> list[FieldColumn]:
        kept = lookup.shown_fields(self.outlook, self.look.n_columns)
        gap = self.look.gap_px
        room = self.links_x - 1.6 * gap - self.look.left_px - gap * max(0, len(kept) - 1)
        unit = room / max(2.0, len(kept) - 1.0 + FIRST_RATIO)
        columns, x = [], self.look.left_px
        for index, (n, field) in enumerate(kept.items()):
            width = unit * (1.0 if index else FIRST_RATIO)
            columns.append(FieldColumn(number=n, field=field, x=x, width=width))
            x += width + gap
        return columns

    def _heads(self) -> Heads:
        look = self.look
        named = [
            Named(c.number, c.field.name, c.field.role, c.x, c.width, look.gap_px)
            for c in self.columns
        ]
        return heads_of(named, look.head_px, look.word_px)
