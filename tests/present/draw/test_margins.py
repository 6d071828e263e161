"""Margin curves: where the lines stand, and what they say to those who do not see them."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook
from farglide.present.draw import margins
from farglide.present.draw.margins import HIGH_DB, LOW_DB, Ending, margins_svg
from farglide.present.say.text import FlightClock

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def linked(samples: ModuleType) -> Outlook:
    made = samples.with_links()
    assert isinstance(made, Outlook)
    return made


def drawn(outlook: Outlook) -> ET.Element:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    return ET.fromstring(margins_svg(outlook.links, clock, Ending(75.5 * 60.0, "release by")))


def test_each_link_has_a_panel_and_all_share_one_against_the_range(linked: Outlook) -> None:
    root = drawn(linked)
    words = [one.text for one in root.iter(f"{NS}text")]
    assert "picture along the planned flight, margin in decibels" in words
    assert "command along the planned flight, margin in decibels" in words
    assert "in free space, against the slant range, margin in decibels" in words
    assert "release by 17:55" in words
    assert "80 km; 6 dB: 40" in words
    label = root.get("aria-label", "")
    assert "picture: 80 km in free space, from Wether Knap +6 dB at least, at 17:55." in label


def test_a_curve_stands_at_its_decibels(linked: Outlook) -> None:
    root = drawn(linked)
    curve = next(one for one in root.iter(f"{NS}path") if one.get("class") == "s-link")
    points = [tuple(map(float, p.split())) for p in curve.get("d", "M")[1:].split("L")]
    known = linked.links[0].stands[0].margin_db
    assert len(points) == len(known)
    for (x, y), point in zip(points, known, strict=True):
        inside = min(max(point.p50, LOW_DB), HIGH_DB)
        share = (HIGH_DB - inside) / (HIGH_DB - LOW_DB)
        assert y == pytest.approx(margins.TOP_PX + margins.PANEL_PX * share, abs=0.01)
        flown = point.after_launch_s / known[-1].after_launch_s
        right = margins.WIDTH_PX - margins.RIGHT_PX
        assert x == pytest.approx(margins.LEFT_PX + (right - margins.LEFT_PX) * flown, abs=0.01)


def test_without_stands_the_range_alone_is_drawn(linked: Outlook) -> None:
    clock = FlightClock(launch_t_s=0.0, zone="UTC")
    bare = tuple(replace(link, stands=()) for link in linked.links)
    root = ET.fromstring(margins_svg(bare, clock, Ending(4000.0, "release by")))
    heads = [one.text for one in root.iter(f"{NS}text") if "decibels" in (one.text or "")]
    assert heads == ["in free space, against the slant range, margin in decibels"]


def test_the_picture_says_what_ends_the_climb(linked: Outlook) -> None:
    clock = FlightClock(launch_t_s=linked.launch_t_s, zone=linked.zone)
    picture = margins_svg(linked.links, clock, Ending(82.0 * 60.0, "5 in 10 have burst by"))
    assert "5 in 10 have burst by 18:02" in picture
    assert "release" not in picture
