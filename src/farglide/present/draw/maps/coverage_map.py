"""A picture of coverage: one solid, one hatch, one stipple and paper, north up, words below."""

import math
from collections.abc import Iterable
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import BoolArray
from farglide.earth.state import wrapped_lon_deg
from farglide.outlook.coverage import STEPS_DB, UNKNOWN, Coverage
from farglide.present.draw.maps.dot_letters import LINE, dots
from farglide.present.draw.maps.png import png_bytes
from farglide.present.draw.place import Edges, filled
from farglide.present.say.links.coverage import NOT_KNOWN, ground_words, step_words, title
from farglide.present.say.links.hearing import ASSUMED
from farglide.present.say.text import compass_words
from farglide.sortie.words import km_text, number_text

_MAP_PX: Final = 960
_MARGIN_PX: Final = 20
_WIDE_PX: Final = _MAP_PX + 2 * _MARGIN_PX
_SCALE: Final = 2  # pixels to a dot of the words
_LINE_PX: Final = LINE * _SCALE + 8
_SWATCH_PX: Final = (60, 28)
_FIGURE: Final = 3
_BODY: Final = 7  # rows of a figure above the line
_CASING_PX: Final = 3
_TIED: Final = "\u00a0"  # a blank at which no line ends
_RIM_PX: Final = 3
_ROUND_KM: Final = (100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1)


class _Sheet:
    """Ink on paper; what lies outside is left out."""

    def __init__(self, high_px: int) -> None:
        self.ink = np.zeros((high_px, _WIDE_PX), np.bool_)

    def put(self, x: int, y: int, drawn: BoolArray, casing_px: int = 0) -> None:
        """Put pixels with their upper left corner at x, y, on a patch of paper round them."""
        padded = np.pad(drawn, casing_px)
        x, y = x - casing_px, y - casing_px
        left, top = max(-x, 0), max(-y, 0)
        cut = padded[top : self.ink.shape[0] - y, left : self.ink.shape[1] - x]
        x, y = x + left, y + top
        self.ink[y : y + cut.shape[0], x : x + cut.shape[1]] = cut

    def write(self, x: int, y: int, words: str) -> None:
        """Write words with their upper left corner at x, y."""
        self.put(x, y, dots(words, _SCALE))

    def write_lines(self, top: int, lines: Iterable[str]) -> None:
        """Write lines below one another, as far in as the map."""
        for i, words in enumerate(lines):
            self.write(_MARGIN_PX, top + i * _LINE_PX, words)


class _FieldSpot(NamedTuple):
    """Where a field lies on the map, and its number."""

    number: int
    x: int
    y: int


def coverage_png(cover: Coverage) -> bytes:
    """Return the picture as the bytes of a PNG file, with what it says in words inside.

    Latitude and longitude run evenly over it: lengths are true at the stand.
    """
    head, foot = _wrapped(f"{cover.name}: {title(cover)}"), _foot(cover)
    top = _MARGIN_PX + len(head) * _LINE_PX
    legend = top + _MAP_PX + 14
    below = legend + (_SWATCH_PX[1] + 10) * math.ceil((len(STEPS_DB) + 2) / 2) + 6
    sheet = _Sheet(below + len(foot) * _LINE_PX + _MARGIN_PX)
    sheet.write_lines(_MARGIN_PX, head)
    sheet.put(_MARGIN_PX - _RIM_PX, top - _RIM_PX, _map(cover))
    _mark(sheet, cover, top)
    _scale_bar(sheet, cover, top + _MAP_PX)
    _legend(sheet, legend)
    sheet.write_lines(below, foot)
    return png_bytes(np.where(sheet.ink, 0, 255).astype(np.uint8), coverage_sentence(cover))


def coverage_sentence(cover: Coverage) -> str:
    """Return what the picture shows, for those who do not see it."""
    reach = []
    for ray in cover.rays:
        end = "nowhere" if math.isnan(ray.to_m) else f"to {km_text(ray.to_m, 0)} km"
        reach.append(f"{compass_words(ray.bearing_deg)} {end}")
    return f"{title(cover)}. It holds {', '.join(reach)}. {ground_words(cover)}"


def _pattern(step: int, high: int, wide: int) -> BoolArray:
    """Return what fills a step: the more is in hand, the darker."""
    y, x = np.indices((high, wide))
    if step == UNKNOWN:  # small crosses, far apart
        u, v = x % 22 - 11, (y + 11 * (x // 22 % 2)) % 22 - 11
        ink = (np.abs(u) == np.abs(v)) & (np.abs(u) <= 3)
    elif step == len(STEPS_DB) - 1:  # hatch, rising to the right
        ink = (x + y) % 10 < 4
    elif step == 1:  # stipple, staggered
        u, v = x % 10 - 5, (y + 5 * (x // 10 % 2)) % 10 - 5
        ink = u * u + v * v <= 5
    else:
        ink = np.full(x.shape, step == len(STEPS_DB))
    return np.asarray(ink, dtype=np.bool_)


def _map(cover: Coverage) -> BoolArray:
    """Return the cells, each in its pattern, with a thin line between steps, in a thick rim."""
    rows, columns = (
        ((np.arange(_MAP_PX) + 0.5) * n / _MAP_PX).astype(np.int64) for n in cover.margins_db.shape
    )
    steps = cover.steps[np.ix_(rows, columns)]
    inside = cover.patch.inside[np.ix_(rows, columns)]
    ink = _edges(steps)
    for step in range(UNKNOWN, len(STEPS_DB) + 1):
        chosen = steps == step
        ink[chosen] |= _pattern(step, _MAP_PX, _MAP_PX)[chosen]
    # the circle touches all four sides: its rim needs room beyond them
    rim = np.pad(inside, _RIM_PX)
    grown = rim.copy()
    for down, right in np.argwhere(_disc(_RIM_PX)) - _RIM_PX:
        grown |= np.roll(rim, (int(down), int(right)), axis=(0, 1))
    return (grown & ~rim) | np.pad(ink & inside, _RIM_PX)


def _edges(values: NDArray[np.int8] | BoolArray) -> BoolArray:
    """Return the pixels beside others of another value."""
    out = np.zeros(values.shape, np.bool_)
    out[1:] |= values[1:] != values[:-1]
    out[:, 1:] |= values[:, 1:] != values[:, :-1]
    return out


def _shown(cover: Coverage) -> list[_FieldSpot]:
    """Return where the fields in the circle lie on the map."""
    patch, half, found = cover.patch, _MAP_PX / 2, []
    for n, field in enumerate(cover.fields, 1):
        east_deg = wrapped_lon_deg(field.lon_deg - patch.middle.lon_deg)
        north_deg = field.lat_deg - patch.middle.lat_deg
        x = round(0.5 * (1.0 + east_deg / patch.half_lon_deg) * _MAP_PX)
        y = round(0.5 * (1.0 - north_deg / patch.half_lat_deg) * _MAP_PX)
        if math.hypot(x - half, y - half) < half:
            found.append(_FieldSpot(n, x, y))
    return found


def _mark(sheet: _Sheet, cover: Coverage, top: int) -> None:
    """Draw the fields as a dot and a figure each, and the stand as a square."""
    x, y = (_MARGIN_PX + _MAP_PX // 2, top + _MAP_PX // 2)
    taken = [Edges(x - 12, y - 12, x + 12, y + 12)]
    fields = [_FieldSpot(n, _MARGIN_PX + a, top + b) for n, a, b in _shown(cover)]
    for _, a, b in fields:
        sheet.put(a - 4, b - 4, _disc(4), _CASING_PX)
        taken.append(Edges(a - 7, b - 7, a + 7, b + 7))
    square = np.ones((17, 17), np.bool_)
    square[4:-4, 4:-4] = False
    sheet.put(x - 8, y - 8, square, _CASING_PX)
    for field in fields:
        figure = dots(str(field.number), _FIGURE)[: _BODY * _FIGURE]
        sheet.put(*_free_spot(field, figure, taken), figure, _CASING_PX)


def _disc(radius_px: int) -> BoolArray:
    y, x = np.indices((2 * radius_px + 1, 2 * radius_px + 1)) - radius_px
    return np.asarray(x * x + y * y <= radius_px * radius_px + 1, dtype=np.bool_)


def _free_spot(field: _FieldSpot, figure: BoolArray, taken: list[Edges]) -> tuple[int, int]:
    """Return the first place beside a dot that is free, else the first, and take it."""
    high, wide = figure.shape
    sides = ((12, -high // 2), (-12 - wide, -high // 2), (-wide // 2, -12 - high), (-wide // 2, 12))
    spots = [(field.x + right, field.y + down) for right, down in sides]
    boxes = [Edges(left, top, left + wide, top + high) for left, top in spots]

    def is_free(a: Edges) -> bool:
        return all(
            a.right + 4 < b.left or b.right + 4 < a.left
            or a.bottom + 4 < b.top or b.bottom + 4 < a.top
            for b in taken
        )  # fmt: skip

    chosen = next((i for i, box in enumerate(boxes) if is_free(box)), 0)
    taken.append(boxes[chosen])
    return spots[chosen]


def _scale_bar(sheet: _Sheet, cover: Coverage, bottom: int) -> None:
    """Draw a bar of a round number of kilometres in the corner outside the circle."""
    px_per_km = 1000.0 * _MAP_PX / (2.0 * cover.patch.radius_m)
    km = next(km for km in _ROUND_KM if km * px_per_km <= 0.2 * _MAP_PX)
    sheet.put(_MARGIN_PX, bottom - 5, np.ones((5, round(km * px_per_km)), np.bool_))
    sheet.write(_MARGIN_PX, bottom - 5 - _LINE_PX, f"{km:g} km, north up")


def _legend(sheet: _Sheet, top: int) -> None:
    """Draw a sample of each pattern with what it means, the strongest first."""
    wide, high = _SWATCH_PX
    entries = [(step, step_words(step)) for step in reversed(range(len(STEPS_DB) + 1))]
    for i, (step, words) in enumerate([*entries, (UNKNOWN, NOT_KNOWN)]):
        x = _MARGIN_PX + (i % 2) * (_WIDE_PX // 3 + 10)
        y = top + (i // 2) * (high + 10)
        sample = _pattern(step, high + 4, wide)[4:]
        sample[[0, 1, -2, -1]] = True
        sample[:, [0, 1, -2, -1]] = True
        sheet.put(x, y, sample)
        sheet.write(x + wide + 12, y + (high - LINE * _SCALE) // 2 + 2, words)


def _foot(cover: Coverage) -> list[str]:
    """Return how to read the marks, and what stands behind the picture."""
    shown = {spot.number for spot in _shown(cover)}
    named = [f"{n}{_TIED}{one.name}" for n, one in enumerate(cover.fields, 1) if n in shown]
    away = [one.name for n, one in enumerate(cover.fields, 1) if n not in shown]
    radius = f"Circle: {number_text(cover.patch.radius_m / 1000.0)} km round the stand."
    marks = f"Square: {cover.stand.name}. {radius}"
    marks += f" Fields: {', '.join(named)}." if named else ""
    marks += f" Outside: {', '.join(away)}." if away else ""
    return [*_wrapped(marks), *_wrapped(f"{ground_words(cover)} {ASSUMED}")]


def _wrapped(words: str) -> list[str]:
    """Return words on lines as wide as the map."""
    return filled(words.split(" "), lambda line: dots(line, _SCALE).shape[1] <= _MAP_PX)
