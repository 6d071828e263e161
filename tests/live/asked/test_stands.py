"""Stands against figures computed elsewhere: margins, drives, and what is in time."""

from dataclasses import replace
from math import isinf

import pytest

from farglide.earth.state import Place, place_of
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.live.asked.stands import drive_to_s, lost_now, park_now, picture_now, stands_now
from farglide.outlook.askedcar import StandNow
from farglide.sortie.roads import Road


def named(found: tuple[StandNow, ...] | list[StandNow], name: str) -> StandNow:
    return next(one for one in found if one.name == name)


def test_what_is_heard_at_t_76_is_as_computed_elsewhere(asked: Situation) -> None:
    """From Wether Knap slant 42.1 km, 38 degrees up, picture +5.6 dB, command +15; home +2.2."""
    found = stands_now(asked)
    knap, strip = (named(found, name) for name in ("Wether Knap", "Harrowend strip"))
    assert knap.range_m == pytest.approx(42_100.0, abs=300.0)
    assert knap.elevation_deg == pytest.approx(38.0, abs=0.5)
    heard = {one.purpose: one.margin_db for one in knap.links}
    assert heard["picture"] == pytest.approx(5.6, abs=0.3)
    assert heard["command"] == pytest.approx(15.0, abs=0.5)
    assert strip.links[0].margin_db == pytest.approx(2.2, abs=0.3)
    assert knap.links[0].grade == 3
    assert knap.links[1].grade is None


def test_a_car_at_a_stand_needs_no_drive(asked: Situation) -> None:
    """The flight file states 38 min from the launch to Wether Knap, 26 to Stile Gap."""
    stands = {one.name: one for one in asked.sortie.stands}
    assert drive_to_s(asked, stands["Wether Knap"]) == 0.0
    assert drive_to_s(asked, stands["Stile Gap"]) >= 12.0 * 60.0
    nobody_told = replace(asked, told=Told(car=None))
    assert drive_to_s(nobody_told, stands["Wether Knap"]) == 38.0 * 60.0
    assert (
        drive_to_s(replace(asked, told=Told(car=place_of(asked.launch))), stands["Stile Gap"])
        == 1560.0
    )
    road = replace(asked, told=Told(car=Place(lat_deg=-46.58, lon_deg=108.1, amsl_m=0.0)))
    assert 0.0 < drive_to_s(road, stands["Stile Gap"]) < 900.0
    typed = (Road(start="Wether Knap", end="Stile Gap", longer_s=600.0),)
    longer = replace(asked, told=replace(asked.told, roads=typed))
    gap = stands["Stile Gap"]
    assert drive_to_s(longer, gap) == pytest.approx(drive_to_s(asked, gap) + 600.0)
    waits = replace(stands["Stile Gap"], crew="second crew")
    assert drive_to_s(asked, waits) == 0.0


def test_a_stand_behind_a_closed_road_comes_last(asked: Situation) -> None:
    roads = tuple(
        Road(start="Wether Knap", end=one.name, longer_s=None)
        for one in asked.sortie.stands
        if one.name != "Wether Knap"
    )
    shut = replace(asked, told=replace(asked.told, roads=roads[:1]))
    last = park_now(shut).stands[-1]
    assert last.name == roads[0].end
    assert (isinf(last.drive_s), last.is_in_time, last.holds_ratio) == (True, False, ())
    assert last.set_off_after_launch_s is None
    assert park_now(shut).document()["stands"][-1]["drive_s"] is None


def test_stands_in_time_come_first_and_their_set_off_fits_the_window(asked: Situation) -> None:
    found, release = park_now(asked), asked.advice.release
    assert release is not None
    in_time = [one.is_in_time for one in found.stands]
    assert in_time == sorted(in_time, reverse=True)
    stile = named(found.stands, "Stile Gap")
    off_s = stile.set_off_after_launch_s
    assert off_s == pytest.approx(release.from_after_launch_s - stile.drive_s - 240.0)
    assert stile.ready_after_launch_s == pytest.approx(asked.now_s + stile.drive_s + 240.0)
    assert found.car == "at Wether Knap"
    assert park_now(replace(asked, told=Told(car=None))).car.startswith("at the launch")
    road = Place(lat_deg=-46.58, lon_deg=108.1, amsl_m=0.0)
    assert park_now(replace(asked, told=Told(car=road))).car == "on the road"
    assert dict(stile.holds_ratio).keys() == {one.name for one in asked.sortie.fields}


def test_without_an_advised_release_stands_go_by_what_they_hear(asked: Situation) -> None:
    found = park_now(replace(asked, advice=replace(asked.advice, release=None)))
    margins = [one.links[0].margin_db for one in found.stands]
    assert margins == sorted(margins, reverse=True)
    assert found.stands[0].holds(asked.field_name) is None
    assert found.stands[0].is_in_time


def test_the_picture_is_told_of_where_the_car_is(asked: Situation) -> None:
    assert picture_now(asked).stands[0].name == "Wether Knap"
    assert len(picture_now(asked).stands) == 3


def test_without_a_picture_there_is_time_until_the_repeats_begin(asked: Situation) -> None:
    found, release = lost_now(asked), asked.advice.release
    assert release is not None
    assert found.fix_until_after_launch_s == release.release_by_after_launch_s - 20.0
    assert [one.seconds for one in found.later] == [300.0, 600.0, 1200.0]
    burst = [one.burst_ratio for one in found.later]
    assert burst == sorted(burst)
    none = lost_now(replace(asked, advice=replace(asked.advice, release=None)))
    assert none.fix_until_after_launch_s is None
    assert none.chance_ratio is None


def test_without_links_or_stands_nothing_is_made_up(unlinked: Situation) -> None:
    assert park_now(unlinked).stands == ()
    assert picture_now(unlinked).stands == ()
    assert lost_now(unlinked).stand is None
