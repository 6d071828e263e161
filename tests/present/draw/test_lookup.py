"""Look-ups shared by the pictures."""

from dataclasses import replace

import pytest

from farglide.outlook.outlook import Outlook
from farglide.present.draw.lookup import (
    burst_height_amsl_m,
    first_crossing,
    interpolated,
    shown_fields,
    top_of_scale_km,
)


def test_tables_are_held_at_their_ends() -> None:
    table = ((1.0, 10.0), (3.0, 30.0))
    assert interpolated(table, 0.0) == 10.0
    assert interpolated(table, 2.0) == 20.0
    assert interpolated(table, 9.0) == 30.0


def test_the_first_crossing_is_the_way_up() -> None:
    up_and_down = ((0.0, 0.0), (10.0, 100.0), (20.0, 0.0), (30.0, 200.0))
    assert first_crossing(up_and_down, 50.0) == 5.0
    assert first_crossing(up_and_down, 150.0) == pytest.approx(27.5)
    assert first_crossing(up_and_down, 300.0) is None
    assert first_crossing((), 1.0) is None


def test_burst_heights_come_from_the_table(outlook: Outlook) -> None:
    burst = outlook.ascent.burst
    # between 0.353 at 29.5 km and 0.5185 at 30.0 km
    half = 29_500.0 + 500.0 * (0.5 - 0.353) / (0.5185 - 0.353)
    assert burst_height_amsl_m(burst, 0.5) == pytest.approx(half)
    assert top_of_scale_km(burst) == 34  # 31.8 km to the next even km, plus 2
    floating = replace(burst, by_height=((20_000.0, 0.0), (24_000.0, 0.3)))
    assert burst_height_amsl_m(floating, 0.5) == 24_000.0
    assert burst_height_amsl_m(replace(burst, by_height=()), 0.5) == burst.height_amsl_m.p90


def test_home_and_the_field_of_the_release_are_always_shown(outlook: Outlook) -> None:
    assert outlook.release is not None
    worst = replace(outlook.fields[3], steps=())
    chosen = replace(
        outlook,
        fields=(*outlook.fields[:3], worst),
        release=replace(outlook.release, field="Corrand"),
    )
    kept = shown_fields(chosen, 2)
    assert [(n, field.name) for n, field in kept.items()] == [(1, "Harrowend"), (4, "Corrand")]
