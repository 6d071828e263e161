"""The pictures: well-formed, labelled, escaped, and drawn where the values say."""

import re
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook
from farglide.present.draw import svg
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
    "strip on a phone": lambda o: strip.strip_svg(o, rows.PHONE),
    "side": side.side_svg,
    "side on a phone": lambda o: side.side_svg(o, scale.PHONE),
    "map": plan_map.map_svg,
}
LEAST_PX = 12.0  # 9 point at 96 px to the inch: the least that may stand on paper


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("variant", ["sample", "not_cleared", "no_release", "hostile"])
def test_every_picture_is_xml_with_a_label(samples: ModuleType, name: str, variant: str) -> None:
    outlook = getattr(samples, variant)()
    drawn = PICTURES[name](outlook)
    root = parsed(drawn)
    assert root.get("role") == "img"
    assert len(root.get("aria-label", "")) > 40
    assert "<script" not in drawn
    assert "<b>" not in drawn
    assert not re.search(r"(?:href|src)=|url\((?!#)", drawn)
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


def test_lines_of_doubt_rise_to_the_right_and_stay_in_their_box() -> None:
    box = svg.Box(10.0, 20.0, 40.0, 12.0)
    d = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", svg.hatch(box, 1.0))
    assert len(d) == 4  # 52 px of x + y, a line every 9 times the root of two
    for x0, y0, x1, y1 in (map(float, one) for one in d):
        assert 10.0 <= x0 <= x1 <= 50.0
        assert 20.0 <= y1 <= y0 <= 32.0
        assert x0 + y0 == pytest.approx(x1 + y1, abs=0.02)
    assert svg.hatch(svg.Box(0.1, 0.1, 1.0, 1.0), 1.0) == ""
    assert svg.state_rect("shut", box, 1.0) == ""
