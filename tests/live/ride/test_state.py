"""State: the phase of a flight by its marks, its launch, and which fixes are the balloon's."""

from farglide.live.ride.state import FeedNow, Ride
from farglide.live.ride.task import Entered
from farglide.sortie.spec import Launch
from farglide.track.handover.sentence import HandedOver
from farglide.track.reports import Fix
from farglide.track.typed.entries import (
    Entry,
    FieldRefused,
    FlownFor,
    Overlay,
)

T_S = 1_800_000_000.0
LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S, zone="UTC")


def ride(*entries: Entry, newest: Fix | None = None) -> Ride:
    entered = tuple(
        Entered(number=k, t_s=T_S + 10.0 * k, entry=one) for k, one in enumerate(entries)
    )
    return Ride(entries=entered, newest=newest)


def fix(t_s: float, height_m: float) -> Fix:
    return Fix(feed="a", lat_deg=-46.5, lon_deg=108.0, t_s=t_s, height_m=height_m)


def test_typed_places_count_where_no_feed_has_told_for_a_minute() -> None:
    read = Overlay(lat_deg=-46.6, lon_deg=108.1, amsl_m=900.0)
    heard = fix(T_S - 30.0, 700.0)
    assert ride(read, newest=heard).balloon is heard
    old = fix(T_S - 61.0, 700.0)
    found = ride(read, newest=old).balloon
    assert found is not None
    assert (found.feed, found.height_m, found.t_s) == ("typed", 900.0, T_S)
    assert ride(read, newest=old).fixes() == (old, found)
    assert ride(Overlay(amsl_m=900.0), newest=old).balloon is old
    assert ride().balloon is None


def test_a_field_is_refused_once() -> None:
    found = ride(FieldRefused(field="A"), FieldRefused(field="B"), FieldRefused(field="A")).refused
    assert found == ("A", "B")


def test_it_is_flown_for_the_field_typed_last_unless_that_is_refused() -> None:
    assert ride().bound_for == ""
    told = (FlownFor(field="A"), FlownFor(field="B"))
    assert ride(*told).bound_for == "B"
    assert ride(*told, FieldRefused(field="B")).bound_for == ""


def test_the_clock_of_the_senders_leads() -> None:
    assert Ride().now_t_s(5.0, 99.0) == 99.0
    assert Ride(ahead_s=1000.0).now_t_s(5.0, 99.0) == 1005.0


def test_feeds_are_what_they_came_to() -> None:
    heard = FeedNow(heard_s=3.0)
    assert Ride().feed("a") == FeedNow()
    assert Ride().with_feed("a", heard).feed("a") is heard


def test_what_the_other_car_said_is_a_fix_of_its_own_time() -> None:
    told = HandedOver(
        lat_deg=-46.6, lon_deg=108.2, amsl_m=9000.0, at_t_s=T_S + 1500.0, phase="climbing"
    )
    found = ride(told, newest=fix(T_S + 600.0, 3000.0)).fixes()
    assert [(one.feed, one.t_s, one.height_m) for one in found] == [
        ("a", T_S + 600.0, 3000.0), ("over", T_S + 1500.0, 9000.0),
    ]  # fmt: skip
    assert len(ride(told, newest=fix(T_S + 1480.0, 8900.0)).fixes()) == 1  # heard just before
