"""Chart: the one style of all maps; marks and lines first, then every label in its own box."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from farglide.present.draw.chart.cutting import cut
from farglide.present.draw.chart.label import Label, set_words
from farglide.present.draw.chart.placing import Placing, SetLabel
from farglide.present.draw.chart.shapes import (
    Disc,
    Line,
    Pen,
    Shape,
    Words,
    box,
    line,
    square,
)
from farglide.present.draw.faces import folded
from farglide.present.draw.place import Edges, Point

QUIET: Final = 5.0
"""What a label pays for covering a ring, road or outline."""
PLAIN: Final = 10.0
"""And of a line of reach."""
HEAVY: Final = 60.0
"""And of the drift or a way, from which a map is read first."""
_DOT_PX: Final = 3.2
_STAND_PX: Final = 4.6
_CASING_PX: Final = 2.2
_SPOT_PX: Final = 5.0
_FRAMED_PX: Final = 10.0
_FRAME: Final = Pen(2.0)
_TEXT_PX: Final = 12.0
_FAR_PX: Final = 1e6


@dataclass(slots=True, kw_only=True)
class Chart:
    """What stands on one map, in the order it is drawn: ground, areas, lines, labels, marks.

    `covers`: boxes with paper of their own, in which lines have gaps as they do under labels.
    """

    width_px: float
    height_px: float
    ground: list[Shape] = field(default_factory=list)
    areas: list[Shape] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    marks: list[Shape] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    covers: list[Edges] = field(default_factory=list)
    left_out: tuple[str, ...] = ()
    placing: Placing = field(init=False)

    def __post_init__(self) -> None:
        self.placing = Placing(width_px=self.width_px, height_px=self.height_px)

    def draw(self, one: Line, owner: str = "", cost: float = QUIET) -> None:
        """Draw a line with gaps where labels stand; its own are told by `owner`."""
        if len(one.points) > 1:
            self.placing.keep_off(one.points, owner, cost, one.is_closed)
            self.lines.append(one)

    def mark(self, shapes: Sequence[Shape], at: Point, half_px: float) -> None:
        """Draw a mark, with labels kept off it."""
        self.marks.extend(shapes)
        self.placing.marks.append(square(at, half_px))

    def field(self, at: Point, number: str, name: str) -> None:
        """Draw a field: a dot, its figure and its name."""
        dot = Disc(x=at.x, y=at.y, radius_px=_DOT_PX, fill="ink", says="field")
        halo = Disc(x=at.x, y=at.y, radius_px=_DOT_PX + 1.4, fill="paper")
        self.mark([halo, dot], at, _DOT_PX + 1.5)
        self.labels.append(Label(at=at, words=name, figure=number))

    def stand(self, at: Point, name: str, is_cars: bool = False) -> None:
        """Draw a stand: a square, solid where the car is; without a name no label."""
        fill = "ink" if is_cars else "paper"
        rim = box(square(at, _STAND_PX + _CASING_PX), "paper")
        self.mark([], at, _STAND_PX + 1.5)
        # below the dot of a field at the same place
        self.marks[:0] = [rim, box(square(at, _STAND_PX), fill, Pen(2.2), "stand")]
        if name:
            self.labels.append(Label(at=at, words=name, clear_px=_STAND_PX + 1.5))

    def ring(self, at: Point, radius_px: float = 3.8, width_px: float = 1.8) -> None:
        """Draw a small open ring: a height passed, or a place that is no field."""
        self.mark(
            [Disc(x=at.x, y=at.y, radius_px=radius_px, pen=Pen(width_px), fill="paper",
                  says="ring")],
            at,
            radius_px + 1.5,
        )  # fmt: skip

    def spot(self, at: Point, is_launch: bool, is_framed: bool) -> None:
        """Draw a spot to launch from: a ring the stated launch, a cross another one.

        The chosen one is framed. Each stands on paper of its own, clear of any pattern.
        """
        half = _FRAMED_PX if is_framed else _SPOT_PX + _CASING_PX
        frame = Pen(3.0) if is_framed else None
        shapes: list[Shape] = [box(square(at, half + _CASING_PX), "paper")] if is_framed else []
        shapes.append(box(square(at, half), "paper", frame, "framed" if is_framed else ""))
        if is_launch:
            shapes.append(
                Disc(x=at.x, y=at.y, radius_px=_SPOT_PX, pen=Pen(2.0), fill="paper", says="launch")
            )
        else:
            for up in (-_SPOT_PX, _SPOT_PX):
                ends = [Point(at.x - _SPOT_PX, at.y + up), Point(at.x + _SPOT_PX, at.y - up)]
                shapes.append(line(ends, Pen(3.2), "cross"))
        self.mark(shapes, at, half + 1.5)

    def drawn(self) -> tuple[list[Shape], float]:
        """Return all shapes and how high they are: below the map, what has no room on it."""
        found = self.shapes()
        if not self.left_out:
            return found, self.height_px
        words = self.with_left_out("")
        lines = folded(words, _TEXT_PX, self.width_px, len(words))
        first = self.height_px + 1.2 * _TEXT_PX
        found += [
            Words(x=0.0, y=first + 1.2 * _TEXT_PX * n, words=one, size_px=_TEXT_PX, weight=500)
            for n, one in enumerate(lines)
        ]
        return found, self.height_px + 1.2 * _TEXT_PX * len(lines) + 5.0

    def with_left_out(self, says: str) -> str:
        """Return a description, with the names that found no room when shapes were asked for."""
        named = f"No room for: {', '.join(self.left_out)}." if self.left_out else ""
        return f"{says} {named}".strip()

    def _beyond(self) -> list[Edges]:
        """Return what lies outside the frame: no line leads there."""
        wide, high, far = self.width_px, self.height_px, _FAR_PX
        return [
            Edges(-far, -far, 0.0, far), Edges(wide, -far, far, far),
            Edges(-far, -far, far, 0.0), Edges(-far, high, far, far),
        ]  # fmt: skip

    def shapes(self) -> list[Shape]:
        """Return all shapes in their order: labels placed, lines cut where they stand."""
        placed, left_out = self.placing.place(self.labels)
        self.left_out = tuple(label.name for label in left_out)
        inks = [*(one.ink for one in placed), *self.covers, *self._beyond()]
        found: list[Shape] = [*self.ground, *self.areas]
        found += [replace(one, pen=None) for one in self.lines if one.fill]
        for one in self.lines:
            if one.pen:
                pieces = cut(one.points, inks, one.is_closed)
                found += [line(piece, one.pen, one.says) for piece in pieces]
        found += [shape for one in placed for shape in _backed(one)]
        found += self.marks
        found += [words for one in placed for words in set_words(*one)]
        found.append(box(Edges(1.0, 1.0, self.width_px - 1.0, self.height_px - 1.0), pen=_FRAME))
        return found


def _backed(one: SetLabel) -> list[Shape]:
    """Return the paper that a label stands on, and its leader."""
    found: list[Shape] = [box(one.ink, "paper", says="backing")]
    if one.spot.leader:
        found.append(line(one.spot.leader, Pen(3.4, "paper")))
        found.append(line(one.spot.leader, Pen(1.0), "leader"))
    return found
