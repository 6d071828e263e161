"""Landed: where it was seen last."""

from dataclasses import replace

from tests.live.loose import Told

from farglide.live.loosened.landed import landed_now
from farglide.live.ride.state import Ride
from farglide.live.stated import ride_of


def test_it_lies_where_it_was_seen_last(home: Told) -> None:
    fixes = home.between(10.0, home.path.end_s, 60.0)
    found = landed_now(ride_of(fixes, home.launch), home.launch, home.launch.t_s + 9000.0)
    assert found.after_launch_s == 9000.0
    assert (found.lat_deg, found.lon_deg) == (fixes[-1].lat_deg, fixes[-1].lon_deg)
    assert found.amsl_m == fixes[-1].height_m
    assert found.seen_after_launch_s == (fixes[-1].t_s or 0.0) - home.launch.t_s


def test_of_one_never_seen_nothing_is_known(home: Told) -> None:
    found = landed_now(Ride(), home.launch, home.launch.t_s + 60.0)
    assert replace(found, after_launch_s=0.0) == replace(
        found, after_launch_s=0.0, lat_deg=None, lon_deg=None, amsl_m=None,
        seen_after_launch_s=None,
    )  # fmt: skip
