"""The frame of the release chart: its sizes, where heights and columns stand, and their heads."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from farglide.outlook.fields import FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.draw import lookup
from farglide.present.draw.place import wrap
from farglide.present.draw.svg import drawn, text
from farglide.present.say.text import FlightClock


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderLook:
    """Sizes of a release chart in pixels of its own picture."""

    width_px: float = 472.0
    height_px: float = 436.0
    left_px: float = 48.0
    right_px: float = 98.0
    top_px: float = 42.0  # with names on one line
    bottom_px: float = 8.0
    ending_px: float = 62.0
    dots_px: float = 18.0  # of the ending column; 0 leaves the words alone
    gap_px: float = 7.0
    head_px: float = 13.4
    word_px: float = 11.8
    small_px: float = 13.0
    figure_px: float = 16.0
    window_px: float = 18.0
    dot_px: float = 7.0
    link_px: float = 15.0  # of the picture's and of the command's column
    n_columns: int = 6


PAPER: Final = LadderLook()
PHONE: Final = LadderLook(
    width_px=358.0, height_px=440.0, left_px=34.0, right_px=94.0, top_px=44.0, ending_px=40.0,
    dots_px=0.0, head_px=13.6, word_px=12.4, small_px=13.4, link_px=10.0, n_columns=3,
)  # fmt: skip

LEAST_PX: Final = 11.4  # 8.5 point, the least that paper may carry
ROLE_LINE: Final = 1.1  # height of a line against its type
LINKS: Final = ("a", "an", "and", "at", "by", "for", "from", "in", "near", "of", "on", "over",
    "the", "to", "under", "with")  # fmt: skip
"""Words that no role ends with."""
FIRST_RATIO: Final = 1.18  # the first column against the others


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
        self.head_px = self._head_px()
        self.top = look.top_px + max((self._extra_px(c) for c in self.columns), default=0.0)

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

    @drawn
    def heads(self) -> Iterator[str]:
        """Return the names of the columns, each over its number and role."""
        for column in self.columns:
            y = self.top - 8.0
            for words in reversed(self._role(column)):
                style = 'font-weight="600" class="narrow"'
                yield text(column.x, y, words, self.look.word_px, style)
                y -= ROLE_LINE * self.look.word_px
            for words in reversed(self._name(column)):
                yield text(column.x, y, words, self.head_px, 'font-weight="700" class="narrow"')
                y -= self.head_px

    def _head_px(self) -> float:
        """Return the largest size at which no name is cut, or the least there is."""
        for size in (self.look.head_px, 12.4, LEAST_PX):
            self.head_px = size
            if not any(name.endswith("…") for c in self.columns for name in self._name(c)):
                break
        return self.head_px

    def _name(self, column: FieldColumn) -> list[str]:
        room = column.width + 0.5 * self.look.gap_px
        name = column.field.name
        lines = wrap(name, self.head_px, room, 2)
        if len(lines) != 1 or not lines[0].endswith("…"):
            return lines
        half = (len(name) + 1) // 2  # one long word: better parted than cut
        parted = wrap(f"{name[:half]}- {name[half:]}", self.head_px, room, 2)
        return lines if any(part.endswith("…") for part in parted) else parted

    def _role(self, column: FieldColumn) -> list[str]:
        """Return number and role on two lines at most: as many whole words as there is room for."""
        room, words = column.width + 0.2 * self.look.gap_px, column.field.role.split()
        while words:
            lines = wrap(f"{column.number}, {' '.join(words)}", self.look.word_px, room, 2)
            if not any(one.endswith("…") for one in lines) and words[-1] not in LINKS:
                return lines
            words.pop()
        return [str(column.number)]

    def _extra_px(self, column: FieldColumn) -> float:
        """Return the room that a head takes beyond one line of name and one of role."""
        n_names, n_roles = len(self._name(column)) - 1, len(self._role(column)) - 1
        return n_names * self.head_px + n_roles * ROLE_LINE * self.look.word_px
