"""Belief: what is odd leaves the place, the height or nothing of a fix; which feed leads."""

import json
from dataclasses import replace

import pytest

from farglide.live.ride.belief import Judged, Jury, is_noted, note_payload, noted_of
from farglide.live.ride.state import FeedNow, Noted, Ride
from farglide.live.ride.task import Entered
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.sortie.spec import Launch
from farglide.track.journal.frame import Kind, Record
from farglide.track.received import Oddity, Received
from farglide.track.reports import Fix, HeightKind, Raw
from farglide.track.typed.entries import Mark, MarkKind

T_S = 1_800_000_000.0
LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S, zone="UTC")
FIRST = FeedSpec(name="first", where=where_of("udp://:1"), format="nmea", stops_above_m=18_000.0)
SECOND = FeedSpec(name="second", where=where_of("udp://:2"), format="nmea")
CAR = FeedSpec(name="car", where=where_of("udp://:3"), format="nmea", of="car")
FILE = FeedSpec(name="file", where=where_of("file:a"), format="nmea")
JURY = Jury((FIRST, SECOND, CAR, FILE), LAUNCH)
UP = Ride(entries=(Entered(number=1, t_s=T_S, entry=Mark(kind=MarkKind.LAUNCHED)),), at_s=600.0)


def fix(feed: str = "first", after_s: float = 600.0, **others: float) -> Fix:
    said = {"lat_deg": -46.52, "lon_deg": 108.05, "height_m": 3240.0, **others}
    return Fix(feed=feed, t_s=T_S + after_s, separation_m=-12.0, **said)


def raw(feed: str = "first", after_s: float = 600.2) -> Raw:
    return Raw(feed=feed, monotonic_s=after_s, utc_s=T_S + after_s, data=b"")


def believed(ride: Ride, one: Fix, source: FeedSpec = FIRST, at_s: float = 590.0) -> Ride:
    now = Received(fix=one, source=source, utc_s=one.t_s or 0.0)
    return ride.with_feed(source.name, FeedNow(believed=now, believed_s=at_s))


def judged(ride: Ride, one: Fix, at: Raw | None = None) -> Judged:
    found = JURY.judged(ride, one, at or raw(one.feed))
    assert found is not None
    return found


def test_a_sound_fix_is_believed_as_it_is() -> None:
    assert judged(UP, fix()) == Judged(fix=fix(), odd=())


def test_a_place_elsewhere_is_not_believed() -> None:
    found = judged(UP, fix(lat_deg=46.52))
    assert found.fix is None
    assert found.odd[0].oddity is Oddity.SWAPPED


def test_a_clock_that_is_off_leaves_place_and_height() -> None:
    late = fix(after_s=600.0 - 3600.0)
    found = judged(UP, late)
    assert found.fix == replace(late, t_s=None)
    assert [one.oddity for one in found.odd] == [Oddity.CLOCK]


def test_the_clock_of_a_file_is_not_held_against_ours() -> None:
    old = fix(feed="file", after_s=600.0)
    assert judged(UP, old, raw("file", 50_000.0)) == Judged(fix=old, odd=())


def test_a_file_that_is_read_again_is_not_taken_twice() -> None:
    before = believed(UP, fix(feed="file"), FILE)
    assert JURY.judged(before, fix(feed="file", after_s=590.0), raw("file")) is None
    assert judged(before, fix(feed="file", after_s=601.0)).fix is not None


def test_a_height_where_no_receiver_tells_one_is_left_out() -> None:
    before = believed(UP, fix(after_s=595.0, height_m=18_900.0))
    high = fix(height_m=18_950.0)
    found = judged(before, high)
    assert [one.oddity for one in found.odd] == [Oddity.LIMIT]
    assert found.fix == replace(high, height_m=None)


def test_what_moves_too_fast_is_believed_once_three_agree() -> None:
    """A believed slip, and then the truth three times over."""
    ride = believed(UP, fix(after_s=598.0, lat_deg=-46.2), at_s=598.0)
    for k in range(3):
        one = fix(after_s=600.0 + k)
        found = judged(ride, one, raw(after_s=600.2 + k))
        assert (found.fix is not None) is (k == 2)
        feed = ride.feed("first")
        doubted = Received(fix=one, source=FIRST, utc_s=one.t_s or 0.0)
        ride = ride.with_feed("first", replace(feed, doubted=doubted, n_doubted=feed.n_doubted + 1))


def test_of_two_that_disagree_the_first_stated_counts() -> None:
    other = fix(feed="second", lat_deg=-46.6)
    before = believed(UP, fix(after_s=599.0), at_s=599.0)
    found = judged(before, other)
    assert Oddity.DISAGREE in [one.oddity for one in found.odd]
    assert found.fix is None
    back = believed(UP, other, SECOND, 599.0)
    assert judged(back, fix()).fix == fix()


def test_the_first_stated_leads_while_it_is_heard() -> None:
    before = believed(UP, fix(), at_s=600.0)
    assert JURY.leads(before, "first", 600.0)
    assert not JURY.leads(before, "second", 659.0)
    assert JURY.leads(before, "second", 660.0)
    assert not JURY.leads(UP, "car", 600.0)


def test_the_feeds_of_glider_and_car_are_told_apart() -> None:
    assert JURY.gliders == ("first", "second", "file")
    assert JURY.cars == ("car",)


def test_a_feed_of_the_log_alone_is_the_gliders_and_leads_where_none_else_is_heard() -> None:
    assert JURY.spec("car") is CAR
    assert JURY.spec("boat").of == "glider"
    assert JURY.spec("car two").of == "car"  # as where a feed is named: by what it is called
    assert not JURY.leads(UP, "car two", 600.0)
    assert JURY.leads(UP, "boat", 600.0)
    assert not JURY.leads(believed(UP, fix(), at_s=600.0), "boat", 600.0)


def test_a_suspicion_comes_back_out_of_the_log_with_the_doubted_fix() -> None:
    found = judged(UP, fix(lat_deg=46.52))
    doubted = fix(lat_deg=46.52)
    record = Record(
        kind=Kind.NOTE, number=1, monotonic_s=600.0, utc_s=T_S,
        payload=note_payload(found.odd[0], doubted),
    )  # fmt: skip
    noted, said = noted_of(record)
    assert noted == Noted(at_s=600.0, feed="first", oddity="swapped", text=found.odd[0].text)
    assert said is not None
    assert Fix(**{**said, "height_kind": HeightKind(said["height_kind"])}) == doubted
    bare = replace(record, payload=note_payload(found.odd[0], None))
    assert noted_of(bare)[1] is None
    with pytest.raises(ValueError, match="holds no suspicion"):
        noted_of(replace(record, payload=json.dumps({"feed": "a"}).encode()))


def test_the_same_suspicion_is_noted_once_a_minute() -> None:
    one = judged(UP, fix(lat_deg=46.52)).odd[0]
    noted = Noted(at_s=560.0, feed="first", oddity="swapped", text="")
    assert is_noted(replace(UP, noted=(noted,)), one)
    assert not is_noted(replace(UP, noted=(replace(noted, at_s=530.0),)), one)
    assert not is_noted(replace(UP, noted=(replace(noted, feed="second"),)), one)
