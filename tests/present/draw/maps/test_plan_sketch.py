"""The sketch of a flight: what is put on its chart, before it is drawn."""

from dataclasses import replace
from math import hypot

import pytest

from farglide.outlook.outlook import Outlook
from farglide.present.draw.maps.plan_sketch import FlightSketch

SIZE_PX = (310.0, 317.0)


def test_the_launch_is_named_once(outlook: Outlook) -> None:
    """With the field that lies there, else by itself."""
    at_field = FlightSketch(outlook, SIZE_PX)
    at_field.add_fields()
    at_field.add_launch()
    names = [one.name for one in at_field.chart.labels]
    assert "1 Harrowend, launch" in names
    assert not any(one.startswith("launch,") for one in names)
    moved = tuple(replace(one, east_m=one.east_m + 15e3) for one in outlook.fields)
    apart = FlightSketch(replace(outlook, fields=moved), SIZE_PX)
    apart.add_fields()
    apart.add_launch()
    names = [one.name for one in apart.chart.labels]
    assert "launch, Harrowend" in names
    assert "1 Harrowend" in names


def test_where_it_bursts_holds_the_track_between_the_shares(outlook: Outlook) -> None:
    sketch = FlightSketch(outlook, SIZE_PX)
    sketch.add_drift()
    (rim,) = [one for one in sketch.chart.lines if one.says == "burst"]
    burst_s = outlook.ascent.burst.after_launch_s.p50
    point = min(outlook.ascent.track, key=lambda one: abs(one.after_launch_s - burst_s))
    middle = sketch.plane.xy(point.east_m, point.north_m)
    nearest = min(hypot(at.x - middle.x, at.y - middle.y) for at in rim.points)
    assert nearest >= 0.98 * point.spread_m * sketch.plane.px_per_m


def test_without_a_track_nothing_bursts(outlook: Outlook) -> None:
    bare = replace(outlook, ascent=replace(outlook.ascent, track=()))
    sketch = FlightSketch(bare, SIZE_PX)
    sketch.add_drift()
    assert sketch.chart.lines == []


def test_the_area_to_launch_from_is_told(outlook: Outlook) -> None:
    sketch = FlightSketch(outlook, SIZE_PX)
    sketch.add_launch()
    if any(one.says == "launch area" for one in sketch.chart.lines):
        assert any(one.name.startswith("launch inside") for one in sketch.chart.labels)
    none = FlightSketch(replace(outlook, launch=None), SIZE_PX)
    none.add_launch()
    assert none.chart.lines == []


def test_rings_too_near_the_release_give_way(outlook: Outlook) -> None:
    assert outlook.release is not None
    height_m = outlook.contours[1].amsl_m
    release = replace(outlook.release, release_by_amsl_m=height_m + 300.0)
    sketch = FlightSketch(replace(outlook, release=release), SIZE_PX)
    sketch.add_heights()
    names = [one.name for one in sketch.chart.labels]
    assert names[0].startswith("release, 12 km up")
    assert names.count("12 km up") == 0
    assert len(names) == pytest.approx(4)
