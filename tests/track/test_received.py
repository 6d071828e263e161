"""Received: distances, doubts and the time of a fix."""

from dataclasses import replace

import pytest

from farglide.track.received import Oddity, Suspicion, apart_m, doubt_m

from .received_by_hand import AWAY, LAUNCH, ON_THE_HAND, UTC_S, received, source


def test_how_far_a_fix_lies_from_a_place() -> None:
    one = received(north_m=1000.0).fix
    assert apart_m(one, LAUNCH.lat_deg, LAUNCH.lon_deg) == pytest.approx(1000.0, rel=0.005)


def test_doubts_add_as_squares() -> None:
    one, other = (received(feed=source(error_m=each)) for each in (30.0, 40.0))
    assert doubt_m(one, other) == pytest.approx(150.0)


def test_a_fix_without_a_clock_was_so_when_it_came() -> None:
    assert received(5.0, t_s=None).t_s == UTC_S + 5.0
    assert received(5.0, t_s=UTC_S).t_s == UTC_S


def test_it_is_away_five_minutes_after_the_launch() -> None:
    just = replace(AWAY, launched_utc_s=UTC_S - 299.0)
    assert not ON_THE_HAND.is_away(UTC_S)
    assert not just.is_away(UTC_S)
    assert just.is_away(UTC_S + 1.0)


def test_a_suspicion_in_full() -> None:
    one = Suspicion(oddity=Oddity.CAR, feed="a", what="A.", changes="B.", remedy="C.")
    assert one.text == "A. B. C."
