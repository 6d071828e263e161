"""Truth: a ring and a line for each size of chance."""

from dataclasses import replace
from xml.etree import ElementTree

from farglide.present.draw.review.truth import truth_svg

from ...sample_review import FEW, NOTHING, REVIEW


def test_each_row_is_a_ring_dashed_where_it_is_few() -> None:
    rows = (FEW, replace(FEW, told_ratio=0.5, came_ratio=0.5, is_few=False))
    svg = truth_svg(replace(REVIEW.honesty, rows=rows))
    ElementTree.fromstring(svg)
    assert svg.count("<circle") == 2
    assert svg.count('stroke-dasharray="3 3"') == 1


def test_without_chances_there_is_no_chart() -> None:
    assert truth_svg(NOTHING.honesty) == ""
