"""Numbers in words at their edges."""

from math import inf, nan

import pytest

from farglide.errors import InputError
from farglide.outlook.ascent import Spread
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    compass_words,
    duration_words,
    grams_text,
    place_text,
    plus_minutes,
)
from farglide.sortie.words import THIN_SPACE, chance_words, km_text, number_text

CLOCK = FlightClock(launch_t_s=1_800_697_200.0, zone="UTC+07:00")  # 2027-01-23T09:40:00Z


@pytest.mark.parametrize(
    ("ratio", "words"),
    [
        (0.0, "under 1 in 50"),
        (0.002, "under 1 in 50"),
        (0.04, "1 in 20"),
        (0.1, "1 in 10"),
        (0.449, "4 in 10"),
        (0.45, "5 in 10"),
        (0.549, "5 in 10"),
        (0.55, "6 in 10"),
        (0.9, "9 in 10"),
        (0.944, "9 in 10"),
        (0.95, "19 in 20"),
        (0.98, "19 in 20"),
        (0.999, "over 49 in 50"),
        (1.0, "over 49 in 50"),
    ],
)
def test_odds_are_said_as_n_in_m(ratio: float, words: str) -> None:
    assert chance_words(ratio) == words


def test_odds_never_show_a_percent_and_never_fall_as_the_share_grows() -> None:
    order = [
        "under 1 in 50",
        "1 in 50",
        "1 in 30",
        "1 in 20",
        *(f"{n} in 10" for n in range(1, 10)),
    ]
    order += ["19 in 20", "over 49 in 50"]
    seen = [order.index(chance_words(i / 1000.0)) for i in range(1001)]
    assert seen == sorted(seen)
    assert set(seen) == set(range(len(order)))


@pytest.mark.parametrize("ratio", [nan, inf, -0.01, 1.01, 93.0])
def test_odds_outside_0_to_1_are_refused(ratio: float) -> None:
    with pytest.raises(InputError, match=r"ratio is .*; allowed: 0 to 1"):
        chance_words(ratio)


def test_thousands_are_parted_by_a_thin_space() -> None:
    assert number_text(12_345.6) == f"12{THIN_SPACE}346"
    assert number_text(-1234.0) == f"−1{THIN_SPACE}234"
    assert number_text(999.4) == "999"
    assert number_text(nan) == "–"
    assert grams_text(1.604) == f"1{THIN_SPACE}600"
    assert km_text(29_950.0) == "29.9"  # round half to even, as Python rounds
    assert km_text(999_999.0, 0) == f"1{THIN_SPACE}000"


def test_minutes_agree_with_the_clock_they_stand_beside() -> None:
    # a clock and T+ both show begun minutes, so their difference is always the launch
    for after_launch_s in (0.0, 59.0, 60.0, 75.5 * 60.0, 76.4 * 60.0, 120.0 * 60.0):
        hour, minute = (int(figure) for figure in CLOCK.local(after_launch_s).split(":"))
        assert plus_minutes(after_launch_s) == f"T+{60 * hour + minute - (16 * 60 + 40)}"
    assert plus_minutes(-900.0) == "T−15"
    with pytest.raises(InputError, match="after_launch_s"):
        plus_minutes(nan)


def test_durations_keep_to_what_matters() -> None:
    assert [duration_words(s) for s in (0.0, 0.4, 59.0, 119.4, 119.6, 3599.0, 5400.0)] == [
        "none",
        "none",
        "59 s",
        "119 s",
        "2 min",
        "1 h",
        "1 h 30 min",
    ]
    for duration_s in (nan, inf, -1.0):
        with pytest.raises(InputError, match="duration_s"):
            duration_words(duration_s)


def test_compass_words_turn_at_the_half_points() -> None:
    assert compass_words(22.4) == "north"
    assert compass_words(22.6) == "north-east"
    assert compass_words(337.6) == "north"
    assert compass_words(-90.0) == "west"
    with pytest.raises(InputError, match="bearing_deg"):
        compass_words(nan)


def test_bearings_and_places() -> None:
    assert bearing_text(359.6) == "000°"
    assert place_text(46.5, -108.0) == "46.500 N 108.000 W"


def test_the_flight_clock_says_local_time_and_utc() -> None:
    assert CLOCK.local(75.5 * 60.0) == "17:55"
    assert CLOCK.utc(75.5 * 60.0) == "10:55"
    assert CLOCK.both(0.0) == "16:40 (T+0, 09:40 UTC)"
    assert CLOCK.date() == "Saturday 23 January 2027"
    assert CLOCK.span(0.0, 60.0) == "16:40–16:41"
    spread = Spread(p10=4812.0, p50=4980.0, p90=5142.0)
    assert CLOCK.spread(spread) == "1 in 10 by 18:00, 5 in 10 by 18:03, 9 in 10 by 18:05"


def test_a_moment_that_does_not_come_is_never() -> None:
    assert CLOCK.local(inf) == CLOCK.utc(nan) == CLOCK.both(inf) == "never"


def test_a_spread_stops_where_the_rest_never_comes() -> None:
    early, half = 3600.0, 4800.0
    assert CLOCK.spread(Spread(p10=early, p50=half, p90=nan)) == (
        "1 in 10 by 17:40, 5 in 10 by 18:00, fewer than 9 in 10 ever"
    )
    assert CLOCK.spread(Spread(p10=early, p50=nan, p90=nan)) == (
        "1 in 10 by 17:40, fewer than 5 in 10 ever"
    )
    assert CLOCK.spread(Spread(p10=nan, p50=nan, p90=nan)) == "fewer than 1 in 10 ever"
