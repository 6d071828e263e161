"""The map of a plan: fields, lines of reach and the scale where the values say."""

from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest

from farglide.outlook.outlook import Outlook
from farglide.present.draw.maps import plan_map

from ...conftest import parsed, rects, words_of


def test_the_map_numbers_fields_and_labels_lines_of_reach(outlook: Outlook) -> None:
    words = words_of(parsed(plan_map.map_svg(outlook)))
    assert {"1", "2", "3", "4", "1 from 6", "1 from 12", "1 from 20", "2 from 14"} <= set(words)
    assert "26 release" in words
    assert "full field 1, dashed field 2" in plan_map.map_note(outlook)
    assert "reach" not in plan_map.map_note(replace(outlook, contours=()))


def test_a_field_far_off_does_not_shrink_the_map(outlook: Outlook) -> None:
    far = replace(outlook.fields[0], east_m=-150_000.0, north_m=20_000.0)
    changed = replace(outlook, fields=(far, *outlook.fields[1:]))
    root = parsed(plan_map.map_svg(changed))
    assert "1, 151 km off" in words_of(root)
    usual = parsed(plan_map.map_svg(outlook))
    bar = [float(e.attrib["x2"]) - float(e.attrib["x1"]) for e in _scale_bars(root)]
    usual_bar = [float(e.attrib["x2"]) - float(e.attrib["x1"]) for e in _scale_bars(usual)]
    assert bar == pytest.approx(usual_bar, rel=0.3)


def _scale_bars(root: ET.Element) -> list[ET.Element]:
    return [e for e in root.iter() if e.attrib.get("stroke-width") == "2.4"]


def test_north_is_up_and_the_scale_is_the_same_both_ways(outlook: Outlook) -> None:
    marks = rects(parsed(plan_map.map_svg(outlook)), **{"class": "f-ink"})
    at = {n: (x + w / 2.0, y + h / 2.0) for n, (x, y, w, h) in enumerate(marks, start=1)}
    home, tansy, corrand = at[1], at[2], at[4]
    assert tansy[0] > home[0]  # east of home, so to the right
    assert tansy[1] > home[1]  # south of home, so lower
    ratio_x = (corrand[0] - home[0]) / 47.6
    ratio_y = (corrand[1] - home[1]) / 33.5
    assert ratio_x == pytest.approx(ratio_y, rel=2e-3)
