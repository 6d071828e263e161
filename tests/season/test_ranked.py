"""Ranked: the wish first, then less time without home, then the drive; and what would change it."""

from dataclasses import replace

from farglide.outlook.season import Early
from farglide.season.ranked import changes, ranked

from .made import CELL, OUTLOOK, T_S


def test_chance_comes_first_then_time_shut_then_the_drive() -> None:
    best = replace(CELL, home_ratio=0.97, shut_s=3000.0)
    alike = replace(CELL, home_ratio=0.965, shut_s=600.0)
    driven = replace(alike, spot=1)
    bad = replace(CELL, home_ratio=0.2, any_field_ratio=0.99)
    assert ranked(OUTLOOK, (bad, best, driven, alike)) == (alike, driven, best, bad)
    any_field = replace(OUTLOOK, bring_to="any")
    assert ranked(any_field, (CELL, bad))[0] == bad  # any field will do


def test_what_nobody_launches_from_comes_last() -> None:
    windy = replace(CELL, home_ratio=0.99, limit="ground wind", reason="9 m/s at the ground")
    barred = replace(CELL, home_ratio=0.99, limit="barred")
    poor = replace(CELL, home_ratio=0.1, limit="wind")
    assert ranked(OUTLOOK, (windy, barred, poor))[0] == poor


def test_what_would_change_the_order_is_told() -> None:
    windy = replace(CELL, launch_t_s=T_S + 7200.0, home_ratio=0.99, limit="ground wind")
    alike = replace(CELL, home_ratio=0.92)
    early = Early(launch_t_s=T_S + 86_400.0, look_t_s=T_S, chance_ratio=0.5, then_ratio=0.98)
    told = "\n".join(changes(replace(OUTLOOK, cells=(CELL, alike, windy), early=(early,))))
    assert "one more is as good within 2 in 100" in told
    assert "if the wind at the ground were within your limit, Sat 23 Jan " in told
    assert "would come first" in told
    assert "a later forecast may put Sun 24 Jan 17:26 first: 19 in 20 then" in told
    assert list(changes(replace(OUTLOOK, cells=()))) == []
    assert list(changes(OUTLOOK)) == []
