"""The pictures of the card, each in a few heights: the page shows the tallest that has room."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from farglide.outlook.charted import GroundGrid
from farglide.outlook.launch import LaunchArea
from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder import frame, ladder
from farglide.present.draw.maps import launch_map, plan_map
from farglide.present.draw.side import scale, side
from farglide.present.draw.strip import rows, strip

HEIGHTS_PX: Final = {"ladder": (456.0, 474.0, 494.0, 516.0, 540.0, 566.0, 594.0, 624.0, 656.0)}
"""Of 120 mm and more."""


def pictures(outlook: Outlook) -> dict[str, str]:
    """Return every picture, in the sizes of the sheet and where needed in that of a phone.

    A box that fits has its picture in each of its heights, the lowest first, and room for one.
    """
    drawn = {
        "ladder_phone": ladder.ladder_svg(outlook, frame.PHONE, "ladder-phone"),
        "map": plan_map.map_svg(outlook),
        "strip": strip.strip_svg(outlook),
        "strip_phone": strip.strip_svg(outlook, rows.PHONE),
        "side": side.side_svg(outlook),
        "side_phone": side.side_svg(outlook, scale.PHONE),
    }
    if outlook.launch is not None:
        ground = outlook.chart.wide if outlook.chart else None
        maps = _launch_maps(outlook.launch, ground)
        drawn |= {f"launch_{k}": one for k, one in enumerate(maps)}
    for name, heights_px in HEIGHTS_PX.items():
        boxes = (f"<div>{_ladder(outlook, px)}</div>" for px in heights_px)
        drawn[name] = f'<div class="fit fit-{name}">{"".join(boxes)}</div>'
    return drawn


def _launch_maps(area: LaunchArea, ground: GroundGrid | None) -> Iterator[str]:
    for layer in launch_map.LAYERS:
        yield launch_map.launch_svg(area, layer, layer != "home_ratio", ground)


def _ladder(outlook: Outlook, height_px: float) -> str:
    look = replace(frame.PAPER, height_px=height_px)
    return ladder.ladder_svg(outlook, look, f"ladder-{height_px:.0f}")


def fitting_css() -> str:
    """Return the rules by which a printed box shows the tallest picture that it has room for."""
    rules = "".join(_rules(f".fit-{name}", heights) for name, heights in HEIGHTS_PX.items())
    return f"@media print{{\n{rules}}}\n"


def _rules(box: str, heights: Sequence[float]) -> str:
    low, *higher = heights
    rules = (
        f"{box}{{container-type:size;flex:1 0 {low:.0f}px;max-height:{heights[-1]:.0f}px}}",
        f"{box}>:nth-child(n){{display:none}}{box}>:nth-child(1){{display:block}}",
        *(
            f"@container (min-height:{height_px:.0f}px){{{box}>:nth-child({n})"
            f"{{display:none}}{box}>:nth-child({n + 1}){{display:block}}}}"
            for n, height_px in enumerate(higher, start=1)
        ),
    )
    return "\n".join(rules) + "\n"
