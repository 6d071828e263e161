"""Patterns: fills that stay apart in any grey, one definition for SVG and for pixels."""

from functools import cache
from typing import Final, NamedTuple

import numpy as np
from PIL import Image, ImageDraw

from farglide.arrays import ByteArray
from farglide.errors import InputError

STEPS: Final = ("", "dots", "lines", "dense")
"""Fills of the steps of a map, from nothing up: each has plainly more ink than the one before."""
_LEVEL: Final = 17  # sixteen levels of ink: nobody sees it, and files are half as large
_FINE: Final = 4  # pixels are drawn so much finer, then averaged


class _Tile(NamedTuple):
    """One tile: its size, its strokes as corners, their width, and a dot's radius in its middle."""

    width_px: int
    height_px: int
    strokes: tuple[tuple[tuple[float, float], ...], ...] = ()
    pen_px: float = 1.1
    dot_px: float = 0.0


_TILES: Final = {
    "dense": _Tile(7, 7, (((-1, -1), (8, 8)), ((8, -1), (-1, 8))), 1.4),
    "lines": _Tile(8, 8, (((-2, 2), (2, -2)), ((-1, 9), (9, -1)), ((6, 10), (10, 6))), 1.2),
    "dots": _Tile(7, 7, dot_px=1.15),
    "crosses": _Tile(13, 13, (((4.5, 4.5), (8.5, 8.5)), ((8.5, 4.5), (4.5, 8.5))), 1.0),
    "boughs": _Tile(18, 16, (((2, 8), (5, 3), (8, 8)), ((11, 15), (14, 10), (17, 15)))),
    "waves": _Tile(
        22, 11, (((0, 5.5), (2.75, 3.5), (5.5, 5.5), (8.25, 7.5), (11, 5.5)),
                 ((11, 5.5), (13.75, 3.5), (16.5, 5.5), (19.25, 7.5), (22, 5.5))),
    ),
    "bars": _Tile(9, 9, (((4.5, -1), (4.5, 10)),)),
    "teeth": _Tile(15, 13, (((2, 3), (6, 10), (10, 3)),)),
}  # fmt: skip
NAMES: Final = tuple(_TILES)


def pattern_svg(name: str, key: str, paint: str) -> str:
    """Return a pattern as SVG, with an id made of its name and `key`."""
    tile = _tile(name)
    strokes = "".join(
        "M" + "L".join(f"{x:g} {y:g}" for x, y in corners) for corners in tile.strokes
    )
    inside = f'<path d="{strokes}" class="s-{paint}" stroke-width="{tile.pen_px}"/>'
    if tile.dot_px:
        x, y = tile.width_px / 2.0, tile.height_px / 2.0
        inside = f'<circle cx="{x:g}" cy="{y:g}" r="{tile.dot_px}" class="f-{paint}"/>'
    size = f'width="{tile.width_px}" height="{tile.height_px}"'
    units = 'patternUnits="userSpaceOnUse"'
    return f'<pattern id="{name}-{key}" {size} {units}>{inside}</pattern>'


@cache
def tile_ink(name: str, scale: int) -> ByteArray:
    """Return a tile as pixels of ink, 0 none to 255 full, `scale` to a unit."""
    tile, fine = _tile(name), scale * _FINE
    image = Image.new("L", (tile.width_px * fine, tile.height_px * fine))
    draw = ImageDraw.Draw(image)
    for corners in tile.strokes:
        points = [(x * fine, y * fine) for x, y in corners]
        draw.line(points, 255, round(tile.pen_px * fine), joint="curve")
    if tile.dot_px:
        x, y, r = tile.width_px / 2.0 * fine, tile.height_px / 2.0 * fine, tile.dot_px * fine
        draw.ellipse((x - r, y - r, x + r - 1, y + r - 1), 255)
    fine_ink = np.asarray(image.reduce(_FINE))
    return (fine_ink // _LEVEL * _LEVEL).astype(np.uint8)


def pattern_ink(name: str, high_px: int, wide_px: int, scale: int) -> ByteArray:
    """Return a pattern over so many pixels, its first tile in the upper left corner."""
    tile = tile_ink(name, scale)
    down, right = -(-high_px // tile.shape[0]), -(-wide_px // tile.shape[1])
    return np.tile(tile, (down, right))[:high_px, :wide_px]


def _tile(name: str) -> _Tile:
    if name not in _TILES:
        raise InputError("pattern", repr(name), f"one of {', '.join(_TILES)}")
    return _TILES[name]
