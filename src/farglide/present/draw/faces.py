"""Faces: the type of all pictures, how wide words are in it, and what it cannot show."""

import unicodedata
from base64 import b64encode
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import Final, NamedTuple

from PIL import ImageFont

from farglide.present.draw.place import filled

FAMILY: Final = "Barlow Semi Condensed"
NARROW_FAMILY: Final = "Barlow Condensed"
WEIGHTS: Final = (500, 600, 700)
TOP_EM: Final = 0.76
"""From the line that words stand on up to the tops of their tallest letters, without accents."""
_MEASURED_PX: Final = 1000  # as many as the face has units to its size: nothing is rounded
_WIDE_EM: Final = 1.0  # a letter of East Asia, in whatever face a reader has for it
_UNKNOWN_EM: Final = 0.66  # another alphabet comes from another face, which is wider
_SAME: Final = {"\u2009": " ", "\u202f": " ", "\u2011": "-", "\u2010": "-"}


def font_bytes(family: str, weight: int) -> bytes:
    """Return a face that is shipped, as a WOFF2 file. Source of the faces: assets/fonts/OFL.txt."""
    name = f"{family.lower().replace(' ', '-')}-latin-{weight}-normal.woff2"
    return (files("farglide.present") / "assets" / "fonts" / name).read_bytes()


def font_css(family: str, weight: int) -> str:
    """Return the rule that carries a face inside a page or picture."""
    source = f"data:font/woff2;base64,{b64encode(font_bytes(family, weight)).decode('ascii')}"
    face = f'font-family:"{family}";font-weight:{weight};src:url({source}) format("woff2")'
    return f"@font-face{{{face}}}\n"


class Cut(NamedTuple):
    """One face of those that are shipped."""

    family: str
    weight: int


SANS: Final = Cut(FAMILY, 600)
BOLD: Final = Cut(FAMILY, 700)
NARROW: Final = Cut(NARROW_FAMILY, 600)


@cache
def face(weight: int, size_px: float, family: str = FAMILY) -> ImageFont.FreeTypeFont:
    """Return a face of pictures in a size, for drawing in pixels."""
    basic = ImageFont.Layout.BASIC  # the other one is not there on every machine
    return ImageFont.truetype(BytesIO(font_bytes(family, weight)), size_px, layout_engine=basic)


@cache
def _em(letter: str, cut: Cut) -> float:
    """Return how wide a letter is at most, also where a reader's own face has to stand in."""
    if _is_known(letter):
        return face(cut.weight, _MEASURED_PX, cut.family).getlength(letter) / _MEASURED_PX
    if unicodedata.combining(letter):
        return 0.0
    if unicodedata.east_asian_width(letter) in "WF":
        return _WIDE_EM
    bare = unicodedata.normalize("NFD", letter)[0]
    return _em(bare, cut) if bare != letter else _UNKNOWN_EM


@cache
def _is_known(letter: str) -> bool:
    if letter.isspace():
        return True
    drawn, missing = (face(600, 100.0).getmask(one) for one in (letter, "\uffff"))
    return drawn.getbbox() != missing.getbbox() or bytes(drawn) != bytes(missing)


def clean(words: str) -> str:
    """Return words without what cannot be seen: control characters and turns of direction.

    >>> clean("Tansy\\u202e\\x1b Lea\\n2")
    'Tansy Lea 2'
    """
    spaced = (" " if letter.isspace() else _SAME.get(letter, letter) for letter in words)
    seen = (letter for letter in spaced if unicodedata.category(letter)[0] != "C")
    return " ".join("".join(seen).split())


@cache
def drawable(words: str) -> str:
    """Return words in letters that the face has: without their accents, else a question mark.

    >>> drawable("Žďěř − Ålund"), drawable("水")
    ('Zder − Ålund', '?')
    """
    return "".join(_drawable_letter(letter) for letter in clean(words))


def _drawable_letter(letter: str) -> str:
    if _is_known(letter):
        return letter
    base = unicodedata.normalize("NFKD", letter)
    bare = "".join(one for one in base if not unicodedata.combining(one))
    return bare if bare and all(map(_is_known, bare)) else "?"


def width_px(words: str, size_px: float, cut: Cut = SANS) -> float:
    """Return how wide words are, from the face's own advance widths.

    >>> round(width_px("Harrowend", 12.0), 1)
    52.3
    """
    return sum(_em(letter, cut) for letter in words) * size_px


def sheet_width_px(words: str, size_px: float, cut: Cut = SANS) -> float:
    """Return how wide words are on a sheet, where every figure is as wide as a nought.

    >>> sheet_width_px("11:11", 12.0) == sheet_width_px("00:00", 12.0)
    True
    """
    return width_px("".join("0" if one.isdigit() else one for one in words), size_px, cut)


def folded(words: str, size_px: float, most_px: float, n_lines: int) -> tuple[str, ...]:
    """Return words on at most `n_lines` lines of `most_px`; what is too long ends in "…".

    >>> folded("Upper Tansy Meadow", 12.0, 80.0, 2)
    ('Upper Tansy', 'Meadow')
    """
    return _folded(words, n_lines, lambda line: width_px(line, size_px) <= most_px)


def sheet_folded(words: str, size_px: float, most_px: float, n_lines: int) -> tuple[str, ...]:
    """Return words in the narrow cut on at most so many lines of a sheet, as `folded` does.

    >>> sheet_folded("Upper Tansy Meadow", 13.0, 66.0, 2)
    ('Upper Tansy', 'Meadow')
    """
    return _folded(words, n_lines, lambda line: sheet_width_px(line, size_px, NARROW) <= most_px)


def _folded(words: str, n_lines: int, fits: Callable[[str], bool]) -> tuple[str, ...]:
    lines = filled(clean(words).split(), fits)
    if len(lines) > n_lines:
        lines = [*lines[: n_lines - 1], " ".join(lines[n_lines - 1 :])]
    return tuple(_cut(line, fits) for line in lines)


def _cut(words: str, fits: Callable[[str], bool]) -> str:
    if fits(words):
        return words
    while words and not fits(f"{words}…"):
        words = words[:-1]
    return f"{words.rstrip()}…"
