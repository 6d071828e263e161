"""SVG of shapes: classes for colours, patterns by name, rasters inside as data."""

from base64 import b64encode
from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Final
from xml.sax.saxutils import escape

import numpy as np
from PIL import Image

from farglide.present.draw.chart.patterns import NAMES, pattern_svg
from farglide.present.draw.chart.shapes import Disc, Line, Pen, Raster, Shape, Words
from farglide.present.draw.chart.tokens import DAY, rgb, style_css
from farglide.present.draw.faces import FAMILY, WEIGHTS, Cut, clean, font_css, width_px
from farglide.present.draw.place import Size
from farglide.present.draw.svg import number, picture, rect

_PAINTS: Final = {
    "dense": "open", "lines": "doubtful", "dots": "ink", "crosses": "rule", "boughs": "barrier",
    "waves": "barrier", "bars": "barrier", "teeth": "barrier",
}  # fmt: skip
"""Which token a pattern is drawn in."""
_JOIN: Final = ' stroke-linejoin="round"'


def chart_svg(shapes: Sequence[Shape], size_px: Size, says: str, key: str) -> str:
    """Return a picture that takes its colours from the page it stands on.

    `says`: the picture in words. `key` keeps its ids apart from those of other pictures.
    """
    frame = rect(0.0, 0.0, *size_px)
    clip = f'<clipPath id="clip-{key}">{frame}</clipPath>'
    body = f'<g clip-path="url(#clip-{key})">{"".join(_svg(shape, key) for shape in shapes)}</g>'
    return picture(*size_px, says, f"<defs>{clip}{_patterns(shapes, key)}</defs>{body}")


def lone_svg(shapes: Sequence[Shape], size_px: Size, says: str, key: str) -> str:
    """Return a document that stands alone: with its colours, its face and its paper inside."""
    faces = "".join(font_css(FAMILY, weight) for weight in WEIGHTS)
    plain = f'text{{font-family:"{FAMILY}","Arial Narrow",Arial,sans-serif}}'
    style = f"<style>{faces}{style_css(DAY)}{plain}</style>"
    paper = rect(0.0, 0.0, *size_px, 'class="f-paper"')
    head, body = chart_svg(shapes, size_px, says, key).split("<defs>", 1)
    return f"{head}{style}{paper}<defs>{body}\n"


def _patterns(shapes: Iterable[Shape], key: str) -> str:
    used = {(shape.fill, shape.paint) for shape in shapes if isinstance(shape, Line)}
    known = sorted(one for one in used if one[0] in NAMES)
    return "".join(
        pattern_svg(name, _key(paint, key), paint or _PAINTS[name]) for name, paint in known
    )


def _key(paint: str, key: str) -> str:
    """Return what follows a pattern's name in its id: one in another paint has its own."""
    return f"{paint}-{key}" if paint else key


def _svg(shape: Shape, key: str) -> str:
    if isinstance(shape, Line):
        return _line(shape, key)
    if isinstance(shape, Disc):
        at = f'cx="{number(shape.x)}" cy="{number(shape.y)}" r="{number(shape.radius_px)}"'
        return f"<circle {at} {_style(shape.pen, shape.fill, key)}{_says(shape.says)}/>"
    if isinstance(shape, Words):
        return _words(shape)
    return _raster(shape)


def _line(shape: Line, key: str) -> str:
    end = "Z" if shape.is_closed else ""
    d = "".join(
        "M" + "L".join(f"{number(x)} {number(y)}" for x, y in ring) + end
        for ring in (shape.points, *shape.holds)
    )
    style = _style(shape.pen, shape.fill, _key(shape.paint, key))
    # what labels must keep off, for those who measure a page
    curve = (
        f' data-curve="{shape.says}"' if shape.says and not (shape.fill or shape.is_closed) else ""
    )
    return f'<path d="{d}" {style}{_says(shape.says)}{curve}/>'


def _style(pen: Pen | None, fill: str, key: str) -> str:
    is_pattern = fill in _PAINTS
    classes = [f"f-{fill}"] if fill and not is_pattern else []
    style = f' fill="url(#{fill}-{key})"' if is_pattern else "" if fill else ' fill="none"'
    if pen is None:
        return f"{_classed(classes)}{style}"
    # a class of strokes would also take the fill away
    classes.append("s-mark" if fill and pen.paint == "ink" else f"s-{pen.paint}")
    dashes = " ".join(f"{one:g}" for one in pen.dashes)
    dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
    rounded = ' stroke-linecap="round"' if pen.dashes and pen.dashes[0] == 0.0 else ""
    return f'{_classed(classes)} stroke-width="{pen.width_px:g}"{dashed}{rounded}{_JOIN}{style}'


def _classed(classes: Sequence[str]) -> str:
    return f'class="{" ".join(classes)}"' if classes else ""


def _says(words: str) -> str:
    return f' data-is="{words}"' if words else ""


def _words(shape: Words) -> str:
    """Return words exactly as wide as they were measured, in whatever face a reader has."""
    words = clean(shape.words)
    at = f'x="{number(shape.x)}" y="{number(shape.y)}" font-size="{number(shape.size_px)}"'
    wide = number(width_px(words, shape.size_px, Cut(FAMILY, shape.weight)))
    fitted = f'textLength="{wide}" lengthAdjust="spacingAndGlyphs"' if words else ""
    style = f'font-weight="{shape.weight}" text-anchor="{shape.anchor}"'
    return f"<text {at} {style} {fitted}{_says(shape.says)}>{escape(words)}</text>"


def _raster(shape: Raster) -> str:
    left, top, right, bottom = shape.box
    place = f'x="{number(left)}" y="{number(top)}" width="{number(right - left)}" '
    place += f'height="{number(bottom - top)}" preserveAspectRatio="none"'
    data = b64encode(ink_png(shape)).decode("ascii")
    return f'<image {place} href="data:image/png;base64,{data}"/>'


def ink_png(shape: Raster) -> bytes:
    """Return ink on nothing as PNG: where there is none, what lies below shows."""
    levels = np.flatnonzero(np.bincount(shape.ink.ravel(), minlength=256))
    place = np.zeros(256, np.uint8)
    place[levels] = np.arange(len(levels))
    image = Image.fromarray(place[shape.ink], "P")
    image.putpalette(rgb(shape.paint, DAY) * len(levels))
    file = BytesIO()
    image.save(file, "PNG", transparency=levels.astype(np.uint8).tobytes())
    return file.getvalue()
