"""The pictures of the card, each in a few heights: the page shows the tallest that has room."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.draw import side, strip
from farglide.present.draw.ladder import frame, ladder
from farglide.present.draw.maps import plan_map

HEIGHTS_PX: Final = {
    "ladder": (262.0, 290.0, 324.0, 360.0, 398.0, 436.0),
    "map": (62.0, 80.0, 104.0, 146.0, 206.0),
    "side": (84.0, 100.0, 118.0, 140.0),
}


def pictures(outlook: Outlook) -> dict[str, str]:
    """Return every picture, in the sizes of the sheet and where needed in that of a phone."""

    def ladder_at(height_px: float) -> str:
        look = replace(frame.PAPER, height_px=height_px)
        return ladder.ladder_svg(outlook, look, f"ladder-{height_px:.0f}")

    def map_at(height_px: float) -> str:
        look = replace(plan_map.PAPER, height_px=height_px)
        return plan_map.map_svg(outlook, look, f"map-{height_px:.0f}")

    def side_at(height_px: float) -> str:
        return side.side_svg(outlook, replace(side.PAPER, height_px=height_px))

    return {
        "ladder": _fitting("ladder", ladder_at),
        "ladder_phone": ladder.ladder_svg(outlook, frame.PHONE, "ladder-phone"),
        "map": _fitting("map", map_at),
        "strip": strip.strip_svg(outlook, strip.PAPER, "strip"),
        "strip_phone": strip.strip_svg(outlook, strip.PHONE, "strip-phone"),
        "side": _fitting("side", side_at),
        "side_phone": side.side_svg(outlook, side.PHONE),
    }


def _fitting(name: str, draw: Callable[[float], str]) -> str:
    """Return a picture in each of its heights, the lowest first, in a box that has room for one."""
    drawn = "".join(f"<div>{draw(height_px)}</div>" for height_px in HEIGHTS_PX[name])
    return f'<div class="fit fit-{name}">{drawn}</div>'


def fitting_css() -> str:
    """Return the rules by which a printed box shows the tallest picture that it has room for."""
    rules = "".join(_rules(name, heights) for name, heights in HEIGHTS_PX.items())
    return f"@media print{{\n{rules}}}\n"


def _rules(name: str, heights: Sequence[float]) -> str:
    low, high = heights[0], heights[-1]
    box = f".fit-{name}"
    rules = [
        f"{box}{{container-type:size;flex:1 0 {low:.0f}px;max-height:{high:.0f}px}}",
        f"{box}>:nth-child(n){{display:none}}{box}>:nth-child(1){{display:block}}",
    ]
    for n, height_px in enumerate(heights[1:], start=2):
        rules.append(
            f"@container (min-height:{height_px:.0f}px){{{box}>:nth-child({n - 1})"
            f"{{display:none}}{box}>:nth-child({n}){{display:block}}}}"
        )
    return "\n".join(rules) + "\n"
