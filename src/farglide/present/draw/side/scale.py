"""The scales of the side view: height against distance along the drift, and its ruled ground."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, cos, radians, sin
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
from farglide.present.draw.faces import sheet_width_px
from farglide.present.draw.lookup import SHOWN_SHARE, burst_height_amsl_m
from farglide.present.draw.place import Point
from farglide.present.say.speeds import IN_TIME, second_way
from farglide.present.say.text import FlightClock
from farglide.sortie.words import number_text

Table = Sequence[tuple[float, float]]
"""A line as an outlook has it: distance along the drift and height, in metres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SideLook:
    """Sizes of a side view in pixels of its own picture."""

    width_px: float = 737.0
    height_px: float = 225.0
    left_px: float = 34.0
    gutter_px: float = 150.0  # for words at the ends of lines, on either side
    wind_px: float = 92.0
    top_px: float = 22.0
    bottom_px: float = 54.0
    text_px: float = 12.2
    leader_px: float = 26.0  # of a gutter, between its words and the lines
    by_letter: bool = False  # a narrow view has letters at its lines, and words under it


PAPER: Final = SideLook()
PHONE: Final = SideLook(
    width_px=358.0, height_px=250.0, left_px=30.0, gutter_px=22.0, wind_px=74.0, text_px=13.2,
    leader_px=12.0, by_letter=True,
)  # fmt: skip

FIGURE_PX: Final = 14.0
_BOLD: Final = 'text-anchor="middle" font-weight="700"'
_END: Final = 'text-anchor="end" font-weight="600"'


class SideScale:
    """Where distances and heights stand in one side view."""

    def __init__(self, outlook: Outlook, look: SideLook) -> None:
        self.outlook, self.look = outlook, look
        self.clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
        side = outlook.side
        self.second = side.timely if second_way(outlook) == IN_TIME else side.flattest
        axis_rad = radians(side.axis_deg)
        self.fields = [
            (n, f.east_m * sin(axis_rad) + f.north_m * cos(axis_rad))
            for n, f in enumerate(outlook.fields, start=1)
        ]
        along = [a for a, _ in (*side.climb, *side.quickest, *self.second)]
        along += [a for _, a in self.fields] + [0.0]
        middle, half = (max(along) + min(along)) / 2.0, (max(along) - min(along)) / 2.0
        half = max(half, 1000.0)
        self.from_m, self.to_m = middle - half, middle + half
        self.cap_m = burst_height_amsl_m(outlook.ascent.burst, SHOWN_SHARE)
        self.top_m = max(self.cap_m, 1000.0) * 1.02
        self.right = look.width_px - look.wind_px  # of the ruled ground
        self.plot = (look.left_px + look.gutter_px, self.right - look.gutter_px)

    def x(self, along_m: float) -> float:
        """Return where a distance along the drift stands."""
        left, right = self.plot
        return left + (right - left) * (along_m - self.from_m) / (self.to_m - self.from_m)

    def y(self, amsl_m: float) -> float:
        """Return where a height stands."""
        look = self.look
        room_px = look.height_px - look.top_px - look.bottom_px
        return look.top_px + room_px * (1.0 - amsl_m / self.top_m)

    def points(self, table: Table) -> list[Point]:
        """Return a line of (along, height) in pixels."""
        return [Point(self.x(a), self.y(h)) for a, h in table]

    @property
    def exaggeration(self) -> float:
        """Return how many times as long a height is drawn as the same distance."""
        per_m_along = (self.plot[1] - self.plot[0]) / (self.to_m - self.from_m)
        return (self.y(0.0) - self.y(1000.0)) / 1000.0 / per_m_along

    @svg.drawn
    def ruled(self) -> Iterator[str]:
        """Return the rulings of height and the ground line with fields and distances under it."""
        look, left = self.look, self.look.left_px
        for km in range(0, int(self.top_m / 1000.0) + 1, 10):
            y = self.y(km * 1000.0)
            yield svg.level(left, self.right, y, svg.stroke(0.7, "rule"))
            yield svg.text(left - 6.0, y + 0.36 * look.text_px, str(km), look.text_px, _END)
        yield svg.level(left, self.right, self.y(0.0), svg.stroke(2))
        yield from (self._field(words, x) for x, words in self._grouped())
        yield from map(self._distance, self._distances_km())
        yield svg.text(left - 6.0, look.top_px - 9.0, "km", look.text_px, _END)
        words = f"heights drawn {number_text(self.exaggeration, 1)} times as long as distances"
        yield svg.text(left, look.top_px - 9.0, words, look.text_px)

    def _grouped(self) -> list[tuple[float, str]]:
        """Return the fields as (x, figures), those that stand on one another as one."""
        groups: list[tuple[float, str]] = []
        for along_m, n in sorted((along, n) for n, along in self.fields):
            x = self.x(along_m)
            if groups and x - groups[-1][0] < 12.0 + sheet_width_px(groups[-1][1], FIGURE_PX):
                groups[-1] = (groups[-1][0], f"{groups[-1][1]}, {n}")
            else:
                groups.append((x, str(n)))
        return groups

    def _field(self, words: str, x: float) -> str:
        y = self.y(0.0)
        mark = svg.line(x, y - 9.0, x, y, svg.stroke(2.4))
        return mark + svg.text(x, y + 15.0, words, FIGURE_PX, _BOLD)

    def _distances_km(self) -> list[int]:
        low, high = self.from_m / 1000.0, self.to_m / 1000.0
        most = max(1.0, (self.plot[1] - self.plot[0]) / 52.0)
        step = next((s for s in (1, 2, 5, 10, 20, 50, 100) if (high - low) / s <= most), 200)
        first = ceil(low / step) * step
        return [km for km in range(first, int(high) + 1, step) if low <= km <= high]

    def _distance(self, km: int) -> str:
        x, y, size = self.x(km * 1000.0), self.look.height_px - 4.0, self.look.text_px
        words = f"{number_text(km)} km" if km else "0"
        return svg.text(x, y, words, size, 'text-anchor="middle"')
