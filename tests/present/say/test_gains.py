"""Gains for better and for worse, told against the plan as it is."""

from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.present.say.gains import (
    SPAN_WORDS,
    changes_parts,
    chosen,
    gain_words,
    parted,
    shift_words,
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


def test_a_change_is_told_by_what_moves(outlook: Outlook) -> None:
    gain = replace(outlook.gains[0], shut_s=0.0, advice="the first minutes of one climb")
    assert gain_words(gain, outlook) == (
        "launch 30 km upwind of home: the chance is 19 in 20 instead of 9 in 10, shut or doubtful "
        "for no time instead of 34 min, but the window ends 2 min earlier. The first minutes of "
        "one climb."
    )
    assert not gain_words(replace(gain, advice=""), outlook).endswith(".")


def test_a_change_that_moves_nothing_is_left_out_unless_there_is_something_to_do(
    outlook: Outlook,
) -> None:
    same = replace(outlook.as_planned, what="a longer line", release_by_shift_s=12.0)
    assert gain_words(same, outlook) == ""
    assert gain_words(replace(same, advice="measure it"), outlook) == "a longer line. Measure it."
    told = changes_parts(replace(outlook, gains=(same,)))[0]
    assert list(told.facts) == []


def test_shifts_name_the_direction() -> None:
    assert shift_words(29.0) == "the same"
    assert shift_words(-31.0) == "1 min earlier"
    assert shift_words(float("nan")) == "–"


def test_a_guess_is_told_with_both_its_sides(outlook: Outlook) -> None:
    guess = replace(outlook.unknowns[0], chance_ratio=0.896, moved_ratio=0.06)
    assert "the chance is 8 in 10 to 19 in 20 instead of 9 in 10" in gain_words(guess, outlook)
    alike = replace(guess, chance_ratio=0.91, moved_ratio=0.02)
    assert "the chance" not in gain_words(alike, outlook)


def test_the_time_that_is_counted_as_shut_is_told_once(outlook: Outlook) -> None:
    parts = changes_parts(outlook)
    assert [list(part.after) for part in parts].count([SPAN_WORDS]) == 1
    moved = [part for part in parts if any("shut or doubtful" in str(one) for one in part.facts)]
    assert list(moved[-1].after) == list(moved[-1].paper) == [SPAN_WORDS]


def test_without_a_release_the_height_that_a_chance_counts_from_is_told(outlook: Outlook) -> None:
    shut = replace(outlook, release=None)
    gain = replace(outlook.gains[0], chance_ratio=0.3)
    assert "the chance, released above 20 km, is 3 in 10 instead of" in gain_words(gain, shut)
    assert "the chance is 3 in 10 instead of" in gain_words(gain, outlook)
    table = changes_parts(shut)[0].table
    assert table is not None
    assert table.columns[1].head == "chance of Harrowend, released above 20 km"
