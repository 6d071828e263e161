"""Alone: heights typed without a place count where no feed tells one."""

from typing import NamedTuple

from farglide.live.ride.alone import HeightRead, fix_typed, heights_alone, places_alone
from farglide.track.typed.entries import Entry, Grade, Overlay


class Row(NamedTuple):
    """An entry, and when it was typed."""

    t_s: float
    entry: Entry


ROWS = (
    Row(t_s=100.0, entry=Overlay(amsl_m=900.0)),
    Row(t_s=150.0, entry=Grade(grade=3)),
    Row(t_s=160.0, entry=Overlay(lat_deg=-46.5, lon_deg=108.0, amsl_m=1200.0)),
    Row(t_s=200.0, entry=Overlay(speed_mps=3.0)),
    Row(t_s=300.0, entry=Overlay(amsl_m=1900.0, volts=11.0)),
)


def test_heights_without_a_place_are_those_alone() -> None:
    assert heights_alone(ROWS, ()) == [HeightRead(100.0, 900.0), HeightRead(300.0, 1900.0)]


def test_a_feed_that_tells_a_height_outweighs_them_for_a_minute() -> None:
    assert heights_alone(ROWS, (41.0,)) == [HeightRead(300.0, 1900.0)]
    assert heights_alone(ROWS, (39.0, 301.0)) == heights_alone(ROWS, ())


def test_a_place_with_its_height_is_a_fix() -> None:
    found = fix_typed(160.0, Overlay(lat_deg=-46.5, lon_deg=108.0, amsl_m=1200.0))
    assert found is not None
    assert (found.feed, found.lat_deg, found.height_m, found.t_s) == ("typed", -46.5, 1200.0, 160.0)
    assert fix_typed(160.0, Overlay(amsl_m=1200.0)) is None
    assert fix_typed(160.0, Overlay(lat_deg=-46.5, lon_deg=108.0)) is None


def test_a_place_without_its_height_counts_where_no_feed_tells_one() -> None:
    bare = Row(t_s=400.0, entry=Overlay(lat_deg=-46.6, lon_deg=108.2))
    (found,) = places_alone((*ROWS, bare), ())
    assert (found.lat_deg, found.lon_deg, found.height_m, found.t_s) == (-46.6, 108.2, None, 400.0)
    assert places_alone((bare,), (341.0,)) == []
    assert len(places_alone((bare,), (339.0, 401.0))) == 1
