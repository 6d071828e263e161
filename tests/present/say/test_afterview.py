"""After the release on the screen: the most urgent first, and all of it in its lines."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER
from tests.present.say.test_rideview import VIEW

from farglide.outlook.advice import Advice
from farglide.present.say.afterview import after_facts
from farglide.present.say.rideview import LEAST, view_lines
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=VIEW.launch_t_s, zone="UTC")


def facts(advice: Advice) -> list[str]:
    assert advice.after is not None
    return list(after_facts(advice, advice.after, CLOCK))


def test_a_glide_begins_with_where_to_and_how() -> None:
    first, speed, home, far, mill, wood, *_, ages = facts(AFTER["gliding"])
    assert first == "Steer for Home strip: 9 in 10, there about 09:30, spare 4.1–6.9 km."
    assert speed.startswith("Fly track 312°")
    assert home == "+ Home strip: open 19 in 20; 16:12 hands off"
    assert far == "+ Far meadow: open 9 in 10, doubtful from 09:22"
    assert mill == "- Mill lea: shut under 1 in 50"
    assert wood == "Gollan Wood 09:21: 18.2 km, needs 17.1; back to Far meadow until 09:22."
    assert ages == "Ages: place 2 s, picture 40 s, car never."


def test_a_spiral_is_named_where_time_is_told_by_it() -> None:
    one = AFTER["gliding"]
    first = replace(one.fields[0], shuts_story="spiral", shuts_after_launch_s=5030.0)
    found = facts(replace(one, fields=(first, *one.fields[1:])))
    assert "+ Home strip: open 19 in 20; 3:50 in a spiral" in found


def test_a_barrier_that_height_alone_would_pass_tells_its_chance() -> None:
    one = AFTER["gliding"]
    assert one.after is not None
    assert one.after.barrier is not None
    shut = replace(one.after.barrier, shut_by="links", chance_ratio=0.01)
    found = facts(replace(one, after=replace(one.after, barrier=shut)))
    assert (
        "Gollan Wood 09:21: 18.2 km, needs 17.1, but under 1 in 50; back to Far meadow until 09:22."
    ) in found
    never = replace(one.after.barrier, commit_amsl_m=None)
    found = facts(replace(one, after=replace(one.after, barrier=never)))
    assert "Gollan Wood 09:21: 18.2 km, never enough; back to Far meadow until 09:22." in found


def test_tied_on_the_seconds_lead() -> None:
    found = facts(AFTER["tied on"])
    assert "+ Home strip: open 19 in 20, 970 s left" in found
    assert "+ Far meadow: open 9 in 10, over 600 s left" in found
    assert "It comes free of the remains in 5 in 10." in found
    assert not any(one.startswith("Fly ") for one in found)


def test_low_down_only_the_landing_is_told() -> None:
    high, wind, *_ = facts(AFTER["low"])
    assert high == "260 m over the field."
    assert wind.startswith("Low over Home strip the wind comes from 240°")
    assert not any("hands off" in one for one in facts(AFTER["low"]))


def test_unsteered_the_aim_leads_and_the_ways_down_follow() -> None:
    found = facts(AFTER["unsteered"])
    assert found[0] == "From Hill aim at 138°, 32° up, 38 km off."
    assert "If hands off: down 11:30, 120 km on, 9 in 10 within 31 km." in found
    assert "If spiral: down 09:55, 41 km on, 9 in 10 within 10 km." in found


def test_over_the_field_height_is_flown_off() -> None:
    assert any("to lose by 10:05" in one for one in facts(AFTER["over"]))


def test_down_it_is_handed_to_the_search() -> None:
    assert any("farglide search" in one for one in facts(AFTER["down"]))


def test_too_late_is_said_as_such() -> None:
    advice = AFTER["gliding"]
    assert advice.after is not None
    assert advice.after.steer is not None
    steer = replace(advice.after.steer, down_after_launch_s=7800.0)
    found = facts(replace(advice, after=replace(advice.after, steer=steer)))
    assert "Packs end 10:05, down 10:10: 5 min too late by." not in found
    assert "Packs end 10:05, down 10:10: 5 min too late." in found


@pytest.mark.parametrize("name", list(AFTER))
@pytest.mark.parametrize("size", [LEAST, (120, 40)])
def test_it_fits_the_screen(name: str, size: tuple[int, int]) -> None:
    n_columns, n_rows = size
    view = replace(VIEW, advice=AFTER[name], phase="burst" if name == "tied on" else "released")
    lines = view_lines(view, n_columns, n_rows)
    assert len(lines) == n_rows - 1
    assert max(map(len, lines)) <= n_columns


def test_the_ladder_marks_what_ends_at_which_height() -> None:
    view = replace(VIEW, advice=AFTER["gliding"], phase="released")
    ladder = [line[:25].rstrip() for line in view_lines(view, 80, 24)]
    assert "   17   | x Home strip >" in ladder
    assert " 23.4 =>|" in ladder
