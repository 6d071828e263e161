"""Gains for better and for worse."""

from dataclasses import replace

from farglide.present.gains import gain_words, home_odds_ratio, parted
from farglide.sortie.outlook import Outlook


def test_a_change_is_worse_when_it_lowers_the_odds_of_the_release(outlook: Outlook) -> None:
    assert outlook.release is not None
    level = replace(outlook.gains[0], odds_ratio=outlook.release.odds_ratio)
    lower = replace(level, odds_ratio=level.odds_ratio - 1e-6)
    assert parted(replace(outlook, gains=(level, lower))) == ((level,), (lower,))


def test_without_a_release_the_launch_as_it_is_counts(outlook: Outlook) -> None:
    assert home_odds_ratio(outlook) == 0.93
    here = replace(outlook.launch_spots[0], odds_ratio=0.3)
    bare = replace(outlook, release=None, launch_spots=(here, *outlook.launch_spots[1:]))
    assert home_odds_ratio(bare) == 0.3
    assert home_odds_ratio(replace(bare, launch_spots=())) == 0.0


def test_a_release_for_another_field_is_no_measure_of_home(outlook: Outlook) -> None:
    assert outlook.release is not None
    other = replace(outlook.release, field="Brackmoor", odds_ratio=0.2)
    assert home_odds_ratio(replace(outlook, release=other)) == 0.93  # of the launch as it is


def test_advice_begins_with_a_capital_behind_the_full_stop(outlook: Outlook) -> None:
    gain = replace(outlook.gains[0], shut_s=0.0, advice="the first minutes of one climb")
    assert gain_words(gain) == (
        "launch 30 km up the drift: home 19 in 20, never shut, last release 2 min earlier. "
        "The first minutes of one climb."
    )
    assert not gain_words(replace(gain, advice="")).endswith(".")
