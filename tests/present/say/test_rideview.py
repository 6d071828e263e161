"""Ride view: it fits its screen, the first line says what to do, nothing hangs on colour."""

from dataclasses import replace

import pytest
from tests.live.advice import ADVICE, AFTER, RELEASE

from farglide.outlook.advice import FieldNow, Level
from farglide.outlook.freshness import Freshness
from farglide.outlook.rideview import FeedAge, HeardAt, Remark, RideView
from farglide.present.say.rideview import plain_line, shown_advice, view_lines
from farglide.present.say.text import FlightClock

T_S = 1_800_000_000.0
SOON = replace(RELEASE, from_after_launch_s=4100.0)
CLOCK = FlightClock(launch_t_s=T_S, zone="UTC")
FEEDS = (
    FeedAge(name="tracker", of="glider", heard_ago_s=0.2, placed_ago_s=0.4),
    FeedAge(name="packets", of="glider", heard_ago_s=None, placed_ago_s=None,
            trouble="not there: refused"),
    FeedAge(name="car", of="car", heard_ago_s=4.0, placed_ago_s=None),
    FeedAge(name="second", of="glider", heard_ago_s=200.0, placed_ago_s=400.0,
            trouble="7 bytes lost"),
)  # fmt: skip
VIEW = RideView(
    now_t_s=T_S + 3600.0, launch_t_s=T_S, zone="UTC", phase="climbing",
    advice=ADVICE, why="", advised_ago_s=0.3, tables_ago_s=12.0, is_summing=False, feeds=FEEDS,
    entries=(Remark(t_s=T_S, words="launched"),),
    odd=(Remark(t_s=T_S + 3500.0, words="The clock of tracker is 1 h ahead of ours."),),
    alarm="", answer="",
)  # fmt: skip
MANY = tuple(
    FieldNow(name=f"Field number {k} of the valley", state="doubtful", chance_ratio=0.6,
             open_ratio=0.6, until_after_launch_s=4000.0, then="open")
    for k in range(6)
)  # fmt: skip


def text(view: RideView, n_columns: int = 80, n_rows: int = 24) -> str:
    return "\n".join(view_lines(view, n_columns, n_rows))


@pytest.mark.parametrize(("n_columns", "n_rows"), [(80, 24), (100, 30), (132, 50)])
@pytest.mark.parametrize(
    "view",
    [
        VIEW,
        replace(VIEW, advice=None, why="On the hand.", phase="on the hand"),
        replace(VIEW, advice=replace(ADVICE, fields=MANY, changed="Home is shut now")),
        replace(VIEW, advice=replace(ADVICE, release=None)),
        replace(VIEW, alarm="The log is not being kept: " + "no space " * 30, answer="x " * 300,
                odd=VIEW.odd * 9, entries=VIEW.entries * 9, feeds=FEEDS * 5),
        replace(VIEW, feeds=(), entries=(), odd=()),
    ],
)  # fmt: skip
def test_a_screen_is_filled_and_not_overrun(view: RideView, n_columns: int, n_rows: int) -> None:
    lines = view_lines(view, n_columns, n_rows)
    assert len(lines) == n_rows - 1
    assert all(len(line) <= n_columns for line in lines)


@pytest.mark.parametrize(
    ("level", "first"),
    [
        (Level.QUIET, "(.) QUIET  Wait. Window opens at 23.2 kilometres, about 09:08."),
        (Level.WATCH, "(o) WATCH  Wait. Window opens at 23.2 kilometres, about 09:08."),
        (Level.DECIDE, "(^) DECIDE  Wait. Window opens at 23.2 kilometres, about 09:08."),
    ],
)
def test_the_first_line_is_level_and_sentence(level: Level, first: str) -> None:
    assert view_lines(replace(VIEW, advice=replace(ADVICE, level=level)), 80, 24)[0] == first


def test_now_is_a_bar_across_the_screen() -> None:
    now = replace(ADVICE, level=Level.NOW)
    first = view_lines(replace(VIEW, advice=now), 80, 24)[0]
    assert len(first) == 80
    assert first.startswith("###")
    assert " (!) NOW  Release now, for Home strip. " in first


def test_fields_window_waiting_burst_ages_and_entries_are_there() -> None:
    found = text(replace(VIEW, advice=replace(ADVICE, after_launch_s=3600.0, release=SOON)))
    for words in (
        "Release for Home strip, 23.2–27.8 km: 9 in 10.",
        "Release by 09:17 (17 min left): then a burst is likely.",
        "If you must let go now:",
        "- Home strip: shut, 3 in 10, doubtful from 09:02",
        "+ Far meadow: 19 in 20",
        "Waiting: 1 min 4 in 10, 2 min 6 in 10, 5 min 9 in 10.",
        "Burst by 09:19 1 in 10, 09:22 5 in 10; 9 in 10 never.",
        "Ages   winds 12 s old; tracker",
        "tracker (glider) fresh 0 s; packets not there: refused; car heard, no position",
        "second (glider) unknown 7 min (7 bytes lost)",
        "Odd    08:58:20 The clock of tracker is 1 h ahead of ours.",
        "Typed  08:00:00 launched",
        "19.5 =>|",
    ):
        assert words in " ".join(found.split()) or words in found, words


def test_new_tables_on_their_way_are_told() -> None:
    found = text(replace(VIEW, is_summing=True, summing_s=40.0))
    assert "winds 12 s old, 40 s at new ones; tracker" in found
    assert "at new ones" not in text(replace(VIEW, is_summing=True, summing_s=5.0))


def test_an_old_fix_is_told_with_its_ring() -> None:
    old = replace(ADVICE, data=Freshness.GUESSED, changed="Home strip is shut now",
                  place=replace(ADVICE.place, seen_after_launch_s=3480.0))  # fmt: skip
    lines = view_lines(replace(VIEW, advice=old), 80, 24)
    assert "about 19.5 km" in lines[1]
    assert lines[1].endswith("guessed")
    assert lines[2:4] == [
        "Place 2 min old: 9 in 10 within 0.9 km. Changed: Home strip is shut now. Type",
        "       digits or a bearing.",
    ]
    typed = replace(old.place, height_seen_after_launch_s=3600.0)
    lines = view_lines(replace(VIEW, advice=replace(old, place=typed)), 80, 24)
    assert lines[2].startswith("Place 2 min old (height 1 s): 9 in 10 within 0.9 km.")


def test_after_a_restart_the_last_advice_is_told_as_such() -> None:
    found = replace(VIEW, why="Computing the first answer: the climb.", advised_ago_s=130.0)
    assert view_lines(found, 80, 24)[2] == (
        "The last advice, 2 min old. Computing the first answer: the climb."
    )


@pytest.mark.parametrize("phase", ["on the hand", "released", "burst", "down"])
def test_what_is_past_is_not_shown_as_advice(phase: str) -> None:
    gone = replace(VIEW, phase=phase, is_loose=True, why="Released: summing the way home.")
    assert shown_advice(gone) is None
    assert view_lines(gone, 80, 24)[0] == "Released: summing the way home."
    assert "Release for" not in text(gone)


def test_a_ride_that_is_behind_or_old_says_so() -> None:
    late = replace(VIEW, behind_s=14.0, advised_ago_s=17.0)
    assert view_lines(late, 80, 24)[2] == (
        "Behind: 14 s of what was heard is not counted yet. This advice is 17 s old."
    )
    assert "Behind" not in text(replace(late, pace=30.0))
    assert "Behind" in text(replace(late, pace=5.0))
    assert "Behind" not in text(replace(VIEW, behind_s=2.0, advised_ago_s=2.0))
    assert "s old." not in view_lines(replace(VIEW, behind_s=2.0, advised_ago_s=2.0), 80, 24)[2]


def test_before_the_first_answer_fixes_go_on_and_the_seconds_are_told() -> None:
    heard = HeardAt(t_s=VIEW.now_t_s - 3.0, lat_deg=-46.5, lon_deg=108.0, amsl_m=440.0)
    first = replace(VIEW, advice=None, why="Computing the first answer: the climb.", heard=heard,
                    summing_s=12.0)  # fmt: skip
    lines = view_lines(first, 80, 24)
    assert lines[0] == "Computing the first answer: the climb."
    assert lines[1] == "09:00:00 climbing, 0.4 km, 46.500 S 108.000 E, 3 s ago"
    assert "12 s so far, usually 5 to 20 s." in lines
    compiles = view_lines(replace(first, doing="compiling (climbs)"), 80, 24)
    assert "12 s so far, usually 1 to 2 min this first time." in compiles
    assert "2 s so far, usually 5 to 20 s." in view_lines(replace(first, pace=6.0), 80, 24)
    assert "winds" not in text(first)


def test_the_place_heard_since_stands_in_place_of_an_old_advice_s() -> None:
    heard = HeardAt(t_s=VIEW.now_t_s + 29.0, lat_deg=-46.8, lon_deg=108.6, amsl_m=21_040.0)
    old = replace(VIEW, now_t_s=VIEW.now_t_s + 30.0, heard=heard, advised_ago_s=30.0)
    lines = view_lines(old, 80, 24)
    assert lines[1] == "09:00:30 climbing, 21.0 km, 46.800 S 108.600 E, 1 s ago"
    assert lines[2] == "This advice is 30 s old."


def test_it_says_what_may_be_typed() -> None:
    assert view_lines(VIEW, 80, 24)[-1].startswith("Type: rs sent, r released, b burst")
    hand = replace(VIEW, advice=None, phase="on the hand", why="On the hand.")
    assert view_lines(hand, 80, 24)[-1].startswith("Type: l launched")
    loose = replace(VIEW, advice=AFTER["gliding"], phase="gliding", is_loose=True)
    assert "landed" in view_lines(loose, 80, 24)[-1]
    assert view_lines(replace(hand, phase="down"), 80, 24)[-1].startswith("Type: u takes")


def test_below_the_window_letting_go_is_for_need_alone() -> None:
    assert "If you must let go now:" in text(VIEW)
    inside = replace(ADVICE, after_launch_s=4200.0)
    found = text(replace(VIEW, advice=inside))
    assert "Let go now:" in found
    assert "If you must" not in found


def test_an_alarm_of_the_log_is_loud() -> None:
    assert "!!!    The log is not being kept" in text(
        replace(VIEW, alarm="The log is not being kept: No space left on device.")
    )


def test_a_wider_screen_holds_more() -> None:
    crowded = replace(VIEW, advice=replace(ADVICE, fields=MANY), odd=VIEW.odd * 3, answer="x " * 99)
    small, large = text(crowded), text(crowded, 120, 40)
    assert "(? now tells the rest.)" in small
    assert "(? now tells the rest.)" not in large
    for words in ("Release by 09:17", "Burst by 09:19 1 in 10, 09:22 5 in 10; 9 in 10 never.",
                  "winds 12 s old"):  # fmt: skip
        assert words in small, words
    assert "Field number 5" in large
    assert "Field number 5" not in small


def test_past_the_release_by_no_time_is_left() -> None:
    late = replace(ADVICE, after_launch_s=4700.0, release=RELEASE)
    assert "Release by 09:17 (past)" in text(replace(VIEW, advice=late))


def test_one_line_where_there_is_no_screen() -> None:
    assert plain_line(replace(ADVICE, changed="Home strip is shut now"), CLOCK) == (
        "09:00:00 WATCH: Wait. Window opens at 23.2 kilometres, about 09:08. Home strip is shut "
        "now. 19.5 km, 46.700 S 108.500 E, fresh."
    )


def test_a_card_stands_below_the_first_lines_and_says_how_it_goes() -> None:
    card = ("Wait. It dries above.", "  Number   " + "frost or fog on the lens " * 6)
    told = view_lines(replace(VIEW, card=card), 80, 24)
    assert told[0] == view_lines(VIEW, 80, 24)[0]
    assert "Wait. It dries above." in told
    assert "(Enter takes this card away.)" in told
    assert len(told) == 23
    assert max(map(len, told)) <= 80
    long = view_lines(replace(VIEW, card=("line",) * 40), 80, 24)
    assert len(long) == 23
    assert "(Enter shows the rest: page 1 of 4.)" in long
    last = view_lines(replace(VIEW, card=("line",) * 40, card_page=3), 80, 24)
    assert "(Enter takes this card away.)" in last
