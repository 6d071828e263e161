"""The pictures: well-formed, labelled, escaped, and drawn where the values say."""

import re
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder import frame as ladder_frame
from farglide.present.draw.ladder import ladder
from farglide.present.draw.maps import plan_map
from farglide.present.draw.side import scale, side
from farglide.present.draw.strip import rows, strip

from ..conftest import SVG, parsed, words_of

PICTURES: dict[str, Callable[[Outlook], str]] = {
    "ladder": ladder.ladder_svg,
    "ladder on a phone": lambda o: ladder.ladder_svg(o, ladder_frame.PHONE, "phone"),
    "strip": strip.strip_svg,
    "strip on a phone": lambda o: strip.strip_svg(o, rows.PHONE, "phone"),
    "side": side.side_svg,
    "side on a phone": lambda o: side.side_svg(o, scale.PHONE),
    "map": plan_map.map_svg,
}
LEAST_PX = 11.33  # 8.5 point at 96 px to the inch: the least that may stand on paper


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("variant", ["sample", "not_cleared", "no_release", "hostile"])
def test_every_picture_is_xml_with_a_label(samples: ModuleType, name: str, variant: str) -> None:
    outlook = getattr(samples, variant)()
    svg = PICTURES[name](outlook)
    root = parsed(svg)
    assert root.get("role") == "img"
    assert len(root.get("aria-label", "")) > 40
    assert "<script" not in svg
    assert "<b>" not in svg
    assert not re.search(r"(?:href|src)=|url\((?!#)", svg)
    for element in root.iter():
        for key, value in element.attrib.items():
            if key not in {"aria-label"}:
                assert "nan" not in value
                assert "inf" not in value


@pytest.mark.parametrize("name", ["ladder", "strip", "side", "map"])
def test_words_on_paper_are_large_enough(outlook: Outlook, name: str) -> None:
    sizes = [
        float(element.attrib["font-size"])
        for element in parsed(PICTURES[name](outlook)).iter(f"{SVG}text")
    ]
    assert min(sizes) >= LEAST_PX


def test_no_field_leaves_one_empty_column(outlook: Outlook) -> None:
    bare = replace(outlook, fields=(), release=None, contours=())
    assert "no field" in words_of(parsed(ladder.ladder_svg(bare)))
    strip_words = " ".join(words_of(parsed(strip.strip_svg(bare))))
    assert "nowhere to land over the whole climb" in strip_words
    assert parsed(plan_map.map_svg(bare)).get("role") == "img"
    assert parsed(side.side_svg(bare)).get("role") == "img"
