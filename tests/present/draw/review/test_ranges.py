"""Ranges: a row for each promise that has one, the ring where it came."""

import re
from dataclasses import replace
from xml.etree import ElementTree

from farglide.present.draw.review.ranges import PHONE, WIDE, ranges_svg, shown_promises

from ...sample_review import DOWN, FAR, FLIGHT

RING = re.compile(r'<circle cx="([\d.]+)"')


def test_each_promise_with_a_range_that_was_seen_is_a_row() -> None:
    svg = ranges_svg(FLIGHT)
    ElementTree.fromstring(svg)
    assert len(shown_promises(FLIGHT)) == 5
    assert len(RING.findall(svg)) == 5
    assert DOWN.what not in svg
    assert "time at 5 km, plan: 16:53" in svg
    assert 'aria-label="5 promises of Amber evening as ranges, and how each came"' in svg


def test_what_came_far_off_lies_at_the_edge_with_an_arrow() -> None:
    near, far = (ranges_svg(replace(FLIGHT, promises=(one,)))
                 for one in (FLIGHT.promises[0], FAR))  # fmt: skip
    assert float(RING.findall(far)[0]) == WIDE.to_px
    assert float(RING.findall(near)[0]) < float(RING.findall(far)[0])
    assert far.count("<line") > near.count("<line")


def test_on_a_phone_the_words_stand_over_their_bar() -> None:
    svg = ranges_svg(FLIGHT, PHONE)
    assert 'width="358"' in svg
    assert len(RING.findall(svg)) == 5


def test_long_names_lose_their_middle_first_and_then_their_end() -> None:
    long = replace(FAR, what="end of pack of the second transmitter")
    svg = ranges_svg(replace(FLIGHT, promises=(long,)))
    assert "end of pack of the second transmitter, plan</text>" in svg
    longer = replace(FAR, what="end of pack " + "x" * 80)
    assert "…</text>" in ranges_svg(replace(FLIGHT, promises=(longer,)))


def test_without_a_range_there_is_no_picture() -> None:
    assert ranges_svg(replace(FLIGHT, promises=(DOWN,))) == ""
