"""The order in words: heights and clock of the window, what lets go instead, chance by height."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.fields import FieldOutlook
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import HeightChance, ReleaseOutlook, Window
from farglide.plan.order import (
    enough_words,
    higher_words,
    lower_words,
    order_words,
    some_field_words,
    window_words,
)
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def release(demo: Outlook) -> ReleaseOutlook:
    """Return a release by 27.7 km, at 17:58, in a window from 24.8 km, at 17:51."""
    assert demo.release is not None
    window = Window(
        from_after_launch_s=71.5 * 60.0,
        to_after_launch_s=78.5 * 60.0,
        from_amsl_m=24_800.0,
        to_amsl_m=28_000.0,
    )
    return replace(
        demo.release,
        window=window,
        release_by_after_launch_s=78.0 * 60.0,
        release_by_amsl_m=27_700.0,
        until_after_launch_s=86.0 * 60.0,
        by_height=True,
        chance_ratio=0.95,
        is_enough=True,
        bound_by="burst",
        burst_within_120_s_ratio=0.2,
        heights=heights((20, 0.98), (27, 0.95), (28, 0.95), (29, 0.91), (30, 0.8), (31, 0.4)),
    )


def heights(*rows: tuple[float, float]) -> tuple[HeightChance, ...]:
    return tuple(
        HeightChance(amsl_m=1000.0 * km, after_launch_s=180.0 * km, chance_ratio=chance)
        for km, chance in rows
    )


def field_with(demo: Outlook, name: str, *rows: tuple[float, float]) -> FieldOutlook:
    """Return a field with a chance for releases at some kilometres."""
    field = demo.fields[0]
    steps = tuple(
        replace(field.steps[0], amsl_m=1000.0 * km, chance_ratio=chance) for km, chance in rows
    )
    return replace(field, name=name, steps=steps)


def test_a_window_is_told_by_heights_with_the_clock_beside(
    sortie: Sortie, release: ReleaseOutlook
) -> None:
    words = window_words(sortie, release)
    assert words == "release between 24.8 and 27.7 km going up, about 17:51 to 17:58"
    thin = replace(release, release_by_amsl_m=25_000.0, release_by_after_launch_s=71.6 * 60.0)
    assert window_words(sortie, thin) == "release at 25.0 km going up, about 17:51"
    # 40 s from one minute to the next are told as one time
    short = replace(thin, release_by_after_launch_s=71.5 * 60.0 + 40.0)
    assert window_words(sortie, short) == "release at 25.0 km going up, about 17:51"


def test_where_no_height_is_seen_the_window_is_told_by_the_clock(
    sortie: Sortie, release: ReleaseOutlook
) -> None:
    blind = replace(release, by_height=False)
    assert window_words(sortie, blind) == "release between 17:51 and 17:58, 25 to 28 km high"
    thin = replace(blind, release_by_amsl_m=26_000.0)
    assert window_words(sortie, thin) == "release between 17:51 and 17:58, near 25 km"
    told = order_words(sortie, blind)
    assert told[0] == "Release by 17:58: after that 2 in 10 burst within two minutes."
    assert told[1] == "Nobody can read the height up there: go by the clock."


def test_the_order_says_what_lets_go_instead(sortie: Sortie, release: ReleaseOutlook) -> None:
    assert order_words(sortie, release) == [
        "Release by 27.7 km (about 17:58): after that 2 in 10 burst within two minutes.",
        "If a slow balloon is not there by 18:06, or it climbs slower than 1 m/s, release at once.",
    ]
    slow = replace(sortie, drop=replace(sortie.drop, repeats_s=170.0))
    assert order_words(slow, release)[0] == (
        "Order the release by 27.7 km (about 17:58): it may take 3 min, and after 28.0 km "
        "(about 17:58) 2 in 10 burst within two minutes."
    )


def test_what_going_higher_costs_stands_in_one_line(
    sortie: Sortie, release: ReleaseOutlook
) -> None:
    # 28 km is told with the same words as the window, 31 km is less than doubtful but told as such
    assert higher_words(sortie, release) == [
        "Released higher, the chance is 9 in 10 at 29 km, 8 in 10 at 30 km."
    ]
    assert higher_words(sortie, replace(release, heights=())) == []


def test_a_lower_height_with_more_chance_is_told_where_the_chance_is_not_enough(
    sortie: Sortie, demo: Outlook, release: ReleaseOutlook
) -> None:
    poor = replace(release, chance_ratio=0.7, is_enough=False)
    home = field_with(demo, sortie.fields[0].name, (18, 0.85), (26, 0.7))
    other = field_with(demo, "Tansy Lea", (9, 0.97), (30, 1.0))
    assert lower_words(sortie, poor, (home,)) == [
        "Released lower than the 20 km you want, at 18 km, home has 8 in 10."
    ]
    assert lower_words(sortie, poor, (home, other)) == [
        "Released lower than the 20 km you want, at 9 km, Tansy Lea has 19 in 20."
    ]
    homeward = replace(sortie, wish=replace(sortie.wish, bring_to="home"))
    assert "home has 8 in 10" in lower_words(homeward, poor, (home, other))[0]
    low = replace(poor, window=replace(poor.window, from_amsl_m=19_000.0))
    assert lower_words(sortie, low, (home,)) == ["Released lower, at 18 km, home has 8 in 10."]
    assert lower_words(sortie, replace(poor, is_enough=True), (home,)) == []
    alike = field_with(demo, sortie.fields[0].name, (18, 0.74))
    assert lower_words(sortie, poor, (alike,)) == []  # "7 in 10" both


def test_what_choosing_the_field_at_the_release_gains_is_told_where_the_wish_leaves_it_open(
    sortie: Sortie, release: ReleaseOutlook
) -> None:
    poor = replace(release, chance_ratio=0.6, is_enough=False, some_field_ratio=0.8)
    assert some_field_words(sortie, poor) == [
        "Some field is in reach with a chance of 8 in 10: choose which at the release, by where "
        "the glider is then."
    ]
    assert some_field_words(sortie, replace(poor, some_field_ratio=0.62)) == []
    home = replace(sortie, wish=replace(sortie.wish, bring_to="home"))
    assert some_field_words(home, poor) == []


def test_a_chance_that_is_not_enough_is_said_to_be_less(
    sortie: Sortie, release: ReleaseOutlook
) -> None:
    assert enough_words(sortie, release) == []
    poor = replace(release, chance_ratio=0.7, is_enough=False)
    assert enough_words(sortie, poor) == [
        "Home has less than the 9 in 10 that you ask for; no field reaches that released "
        "above 20 km."
    ]
    lower = replace(poor, window=replace(poor.window, to_amsl_m=12_000.0))
    assert enough_words(sortie, lower) == [
        "Home has less than the 9 in 10 that you ask for; no field reaches that at any height."
    ]
    # 0.899 is told as 8 in 10 where 0.9 is asked for
    near = replace(release, chance_ratio=0.899, is_enough=False)
    home = replace(sortie, wish=replace(sortie.wish, bring_to="home"))
    assert enough_words(home, near) == ["Home has less than the 9 in 10 that you ask for."]
    # no words lie between 0.93 and 0.92: both are told as 9 in 10
    odd = replace(home, wish=replace(home.wish, enough_ratio=0.93))
    close = replace(release, chance_ratio=0.92, is_enough=False)
    assert enough_words(odd, close) == ["Home has just under the 9 in 10 that you ask for."]


def test_the_demo_file_states_its_wish(demo_flight: FlightFile) -> None:
    wish = demo_flight.sortie.wish
    assert (wish.bring_to, wish.enough_ratio) == ("any", 0.9)
