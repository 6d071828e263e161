"""Odd heights: of another kind, or beyond what their source can give."""

import pytest

from farglide.track.oddheight import jump_suspicions, limit_suspicions, pair_suspicions
from farglide.track.received import Oddity

from .received_by_hand import AWAY, KINDS, ON_THE_HAND, received, source


def test_a_receiver_above_its_limit_and_a_sensor_at_its_end() -> None:
    (one,) = limit_suspicions(received(height_m=18_100.0, feed=source(stops_above_m=18_000.0)))
    assert one.oddity is Oddity.LIMIT
    assert one.what == "tracker says 18100 m; its receiver is said to stop at 18000 m."
    sensor = source(sensor_ends_pa=30_000.0)  # 300 hPa: 9164 m in the standard atmosphere
    (other,) = limit_suspicions(received(height_m=9_163.0, feed=sensor, height_kind=KINDS["p"]))
    assert other.what == "tracker says 9163 m; its pressure sensor ends at 9164 m."
    assert "climb would seem to end" in other.changes


@pytest.mark.parametrize(
    ("height_m", "limits", "kind"),
    [
        (17_900.0, {"stops_above_m": 18_000.0}, "sea"),
        (20_000.0, {"sensor_ends_pa": 30_000.0}, "sea"),
        (20_000.0, {"stops_above_m": 18_000.0}, "p"),
        (9_100.0, {"sensor_ends_pa": 30_000.0}, "p"),
        (None, {"stops_above_m": 18_000.0}, "sea"),
        (30_000.0, {}, "sea"),
    ],
)
def test_within_its_limits_a_height_is_sound(
    height_m: float | None, limits: dict[str, float], kind: str
) -> None:
    feed = source(**limits)
    one = received(height_m=height_m, feed=feed, height_kind=KINDS[kind])
    assert not list(limit_suspicions(one))


def test_a_jump_as_large_as_the_geoid_is_high() -> None:
    now, before = received(1.0, height_m=10_048.0), received()
    (one,) = jump_suspicions(now, before, AWAY)
    assert one.oddity is Oddity.HEIGHT_KIND
    assert one.what.startswith("The height of tracker jumped by +48 m in 1 s, as much as sea level")
    own = received(1.0, height_m=9_970.0, separation_m=-30.0)
    assert list(jump_suspicions(own, before, AWAY))


@pytest.mark.parametrize(
    ("after_s", "height_m"), [(1.0, 10_060.0), (5.0, 10_047.0), (70.0, 10_047.0)]
)
def test_another_jump_and_a_climb_are_none(after_s: float, height_m: float) -> None:
    assert not list(jump_suspicions(received(after_s, height_m=height_m), received(), AWAY))
    assert not list(jump_suspicions(received(1.0, height_m=10_048.0), received(), ON_THE_HAND))
    assert not list(jump_suspicions(received(1.0), received(height_m=None), AWAY))


def pair(height_m: float, kind: str = "sea", **others: float):  # type: ignore[no-untyped-def]
    """Return what is odd about a second tracker beside the first at 10 km."""
    feed = source("second", error_m=1.0)
    other = received(height_m=height_m, feed=feed, height_kind=KINDS[kind], **others)
    return list(pair_suspicions(received(feed=source(error_m=1.0)), other, AWAY))


@pytest.mark.parametrize(
    ("height_m", "kind", "words"),
    [
        (10_046.0, "sea", "46 m apart in height, as much as sea level and ellipsoid are."),
        (10_000.0, "hae", "47 m apart in height, as much as sea level and ellipsoid are."),
        (10_400.0, "sea", "400 m apart in height, side by side: does one of them tell pressure"),
        (13_000.0, "p", "3.0 km apart in height, more than any air"),
    ],
)
def test_two_trackers_side_by_side_count_from_one_sea(
    height_m: float, kind: str, words: str
) -> None:
    (one,) = pair(height_m, kind)
    assert one.oddity is Oddity.HEIGHT_KIND
    assert one.what == f"tracker and second are {words}" or words in one.what


@pytest.mark.parametrize(
    ("height_m", "kind"), [(10_020.0, "sea"), (10_047.0, "hae"), (11_000.0, "p"), (10_120.0, "sea")]
)
def test_heights_that_agree_by_their_kinds_are_sound(height_m: float, kind: str) -> None:
    assert pair(height_m, kind) == []


def test_trackers_far_apart_or_of_other_times_say_nothing_of_kinds() -> None:
    assert pair(10_400.0, north_m=3000.0) == []
    assert pair(10_400.0, after_s=70.0) == []
