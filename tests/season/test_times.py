"""Times: even on the clock of the place, by daylight, no more than can be asked."""

from dataclasses import replace

import pytest

from farglide.earth.clock import clock_text, seconds_from_text
from farglide.earth.sun import dusk_t_s, sun_position
from farglide.errors import InputError
from farglide.season.times import Span, launch_times

from .made import world

LAUNCH = world().flight.sortie.launch
DAY_S = seconds_from_text("2027-01-23T00:00+07:00")


def test_times_are_even_hours_with_the_sun_up_and_light_left() -> None:
    found = launch_times(Span(DAY_S + 1.0, DAY_S + 86_399.0, 7200.0), LAUNCH)
    assert found
    for t_s in found:
        assert clock_text(t_s, LAUNCH.zone).endswith(":00")
        assert (t_s - DAY_S) % 7200.0 == 0.0
        assert sun_position(t_s, LAUNCH.lat_deg, LAUNCH.lon_deg).elevation_deg > 0.0
        dusk_s = dusk_t_s(t_s, LAUNCH.lat_deg, LAUNCH.lon_deg)
        assert dusk_s is not None
        assert dusk_s - t_s >= 9000.0
    two = launch_times(Span(DAY_S, DAY_S + 2.0 * 86_400.0, 7200.0), LAUNCH)
    assert len(two) == 2 * len(found)


def test_no_daylight_and_too_many_are_refused() -> None:
    with pytest.raises(InputError, match="none by daylight"):
        launch_times(Span(DAY_S, DAY_S + 3600.0, 1800.0), LAUNCH)
    with pytest.raises(InputError, match="up to 400"):
        launch_times(Span(DAY_S, DAY_S + 30.0 * 86_400.0, 600.0), LAUNCH)


def test_beyond_the_circle_a_sun_that_never_sets_leaves_light() -> None:
    north = replace(LAUNCH, lat_deg=75.0, lon_deg=20.0)
    june_s = seconds_from_text("2027-06-20T12:00:00Z")
    assert launch_times(Span(june_s, june_s, 3600.0), replace(north, zone="UTC")) == (june_s,)
