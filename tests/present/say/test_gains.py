"""Gains for better and for worse, told against the plan as it is."""

from dataclasses import replace

from farglide.outlook.changes import LaunchSpot
from farglide.outlook.outlook import Outlook
from farglide.present.part import Cell
from farglide.present.say.gains import (
    base_part,
    chosen,
    gain_words,
    parted,
    shift_words,
    spots_table,
)


def test_a_change_is_worse_when_it_lowers_the_odds(outlook: Outlook) -> None:
    base = outlook.as_planned
    higher = replace(base, chance_ratio=base.chance_ratio + 0.01)
    lower = replace(base, chance_ratio=base.chance_ratio - 0.01)
    assert parted(replace(outlook, gains=(higher, lower))) == ([higher], [lower])


def test_where_the_odds_hardly_move_the_time_not_open_decides(outlook: Outlook) -> None:
    base = outlook.as_planned
    shorter = replace(base, chance_ratio=base.chance_ratio - 0.004, shut_s=base.shut_s - 60.0)
    longer = replace(base, chance_ratio=base.chance_ratio + 0.004, shut_s=base.shut_s + 60.0)
    assert parted(replace(outlook, gains=(shorter, longer))) == ([shorter], [longer])


def test_changes_are_told_for_the_chosen_field(outlook: Outlook) -> None:
    assert outlook.release is not None
    other = replace(outlook, release=replace(outlook.release, field="Brackmoor"))
    assert chosen(other) == "Brackmoor"
    assert chosen(replace(outlook, release=None)) == outlook.fields[0].name
    assert chosen(replace(outlook, release=None, fields=())) == "home"
    (told,) = base_part(other).facts
    assert told == (
        "What changes are told against: as planned: Brackmoor 9 in 10, not open 34 min."
    )
    assert base_part(replace(other, gains=())).facts == ()


def test_advice_begins_with_a_capital_behind_the_full_stop(outlook: Outlook) -> None:
    gain = replace(outlook.gains[0], shut_s=0.0, advice="the first minutes of one climb")
    assert gain_words(gain, "home") == (
        "launch 30 km up the drift: home 19 in 20, always open, last release 2 min earlier. "
        "The first minutes of one climb."
    )
    assert not gain_words(replace(gain, advice=""), "home").endswith(".")


def _spot(up_km: float, left_km: float, chance: float, shut_min: float) -> LaunchSpot:
    return LaunchSpot(
        up_drift_m=1000.0 * up_km,
        across_m=1000.0 * left_km,
        chance_ratio=chance,
        shut_s=60.0 * shut_min,
        release_by_after_launch_s=4500.0,
    )


def test_rows_go_across_and_columns_up_the_drift() -> None:
    spots = tuple(
        _spot(up, left, 0.5 + 0.01 * up + 0.001 * left, 60.0 - up)
        for left in (-10.0, 0.0, 10.0)
        for up in (-20.0, 0.0, 20.0, 40.0)
    )
    grid = spots_table(spots)
    assert grid is not None
    assert [one.head for one in grid.columns] == ["km aside", "−20", "0", "20", "40", "km up"]
    assert [row[0] for row in grid.rows] == ["10 left", "on the line", "10 right"]
    assert grid.rows[1][2] == Cell("1/2", small="60", mark="here")
    cells = {(r, c): cell for r, row in enumerate(grid.rows) for c, cell in enumerate(row)}
    marked = [k for k, cell in cells.items() if isinstance(cell, Cell) and "best" in cell.mark]
    assert marked == [(0, 4)]  # 0.5 + 0.4 + 0.01, the largest of all
    assert cells[0, 4] == Cell("9/10", small="20", mark="best")


def test_a_missing_launch_leaves_an_empty_cell() -> None:
    grid = spots_table((_spot(0, 0, 0.9, 5), _spot(10, 10, 0.8, 5)))
    assert grid is not None
    assert [[Cell(*cell).words for cell in row[1:-1]] for row in grid.rows] == [
        ["", "8/10"],
        ["9/10", ""],
    ]
    assert spots_table(()) is None


def test_shifts_name_the_direction() -> None:
    assert shift_words(29.0) == "the same"
    assert shift_words(-31.0) == "1 min earlier"
    assert shift_words(float("nan")) == "–"


def test_a_guess_is_told_with_both_its_sides(outlook: Outlook) -> None:
    guess = replace(outlook.unknowns[0], chance_ratio=0.896, moved_ratio=0.06)
    words = gain_words(guess, "Harrowend", outlook.bounds)
    assert "Harrowend 8 in 10 to 19 in 20, " in words
    alike = replace(guess, chance_ratio=0.91, moved_ratio=0.02)
    assert "Harrowend 9 in 10, " in gain_words(alike, "Harrowend", outlook.bounds)
