"""Tokens: the colours that pictures may use, by name, on paper and on a screen in daylight."""

from collections.abc import Mapping
from typing import Final

from farglide.errors import InputError

PRINT: Final[Mapping[str, str]] = {
    "paper": "#ffffff", "ink": "#000000", "ink-2": "#000000", "rule": "#777777", "open": "#000000",
    "doubtful": "#000000", "burst": "#000000", "guess": "#000000", "link": "#000000",
    "barrier": "#555555",
}  # fmt: skip
"""Black ink on white paper: survives a photocopy."""

DAY: Final[Mapping[str, str]] = {
    "paper": "#ffffff", "ink": "#000000", "ink-2": "#2b2b2b", "rule": "#6e6e6e", "open": "#00725b",
    "doubtful": "#b34700", "burst": "#8e2f6c", "guess": "#3d3d3d", "link": "#005a9e",
    "barrier": "#4a4a4a",
}  # fmt: skip
"""A screen in daylight."""


def rgb(paint: str, tokens: Mapping[str, str] = PRINT) -> tuple[int, int, int]:
    """Return red, green and blue of a token, 0 to 255.

    >>> rgb("rule"), rgb("link", DAY)
    ((119, 119, 119), (0, 90, 158))
    """
    if paint not in tokens:
        raise InputError("paint", repr(paint), f"one of {', '.join(tokens)}")
    code = tokens[paint]
    return int(code[1:3], 16), int(code[3:5], 16), int(code[5:7], 16)


def grey(paint: str) -> int:
    """Return how light a token is on paper, 0 black to 255 white; all of them are greys there.

    >>> grey("paper"), grey("barrier")
    (255, 85)
    """
    return rgb(paint)[0]


def style_css(tokens: Mapping[str, str] = DAY) -> str:
    """Return the rules that give the classes of a picture that stands alone their colours."""
    strokes = "".join(f".s-{name}{{fill:none;stroke:{code}}}" for name, code in tokens.items())
    fills = "".join(f".f-{name}{{fill:{code}}}" for name, code in tokens.items())
    return f"{fills}{strokes}.s-mark{{stroke:{tokens['ink']}}}text{{fill:{tokens['ink']}}}"
