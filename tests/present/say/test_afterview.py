"""After the release on the screen: the most urgent first, and all of it in its lines."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER
from tests.present.say.test_rideview import VIEW

from farglide.outlook.advice import Advice
from farglide.present.say.afterview import after_facts
from farglide.present.say.rideview import view_lines
from farglide.present.say.text import FlightClock
from farglide.present.say.viewfoot import LEAST

CLOCK = FlightClock(launch_t_s=VIEW.launch_t_s, zone="UTC")


def facts(advice: Advice) -> list[str]:
    assert advice.after is not None
    return [one.words for one in after_facts(advice, advice.after, CLOCK) if one.words]


def test_a_glide_begins_with_where_to_and_how() -> None:
    found = facts(AFTER["gliding"])
    assert found[:8] == [
        "Steer for Home strip: 9 in 10.",
        "41 km off, there about 09:30, 4.1–6.9 km to spare.",
        "Fly 312°: ground 71 m/s, sink 11.9 m/s, to 23.7 km.",
        "Gollan Wood 09:21: cross it, 18.2 km high (needs 17.1).",
        "Turning back to Far meadow works until 09:22.",
        "Left unsteered it shuts in 16 min, at 17.2 km (x).",
        "+ Far meadow: open 9 in 10, doubtful from 09:22",
        "- Mill lea: shut",
    ]


def test_a_spiral_is_named_where_time_is_told_by_it() -> None:
    one = AFTER["gliding"]
    first = replace(one.fields[0], shuts_story="spiral", shuts_after_launch_s=5030.0)
    found = facts(replace(one, fields=(first, *one.fields[1:])))
    assert "In a spiral it shuts in 3 min 50 s, at 17.2 km (x)." in found


def test_a_barrier_that_is_not_to_be_crossed_says_so() -> None:
    one = AFTER["gliding"]
    assert one.after is not None
    assert one.after.barrier is not None
    shut = replace(one.after.barrier, shut_by="links", chance_ratio=0.01)
    found = facts(replace(one, after=replace(one.after, barrier=shut)))
    told = "Gollan Wood 09:21: do not cross, 18.2 km high (needs 17.1, under 1 in 50)."
    assert told in found
    never = replace(one.after.barrier, commit_amsl_m=None)
    found = facts(replace(one, after=replace(one.after, barrier=never)))
    assert "Gollan Wood 09:21: do not cross, 18.2 km high (never enough)." in found


def test_tied_on_the_seconds_lead() -> None:
    found = facts(AFTER["tied on"])
    assert found[0] == "Once free steer for Home strip: 9 in 10."
    assert "+ Home strip: open 19 in 20, 970 s left" in found
    assert "+ Far meadow: open 9 in 10, over 600 s left" in found
    assert "It comes free of the remains in 5 in 10." in found
    assert not any(one.startswith("Fly ") for one in found)


def test_before_it_is_level_nothing_is_steered() -> None:
    assert facts(AFTER["dropped"])[0] == "Once level steer for Home strip: 9 in 10."


def test_what_falls_unmarked_is_asked_about() -> None:
    one = AFTER["dropped"]
    assert one.after is not None
    found = facts(replace(one, after=replace(one.after, is_marked=False)))
    assert found[0] == "Once free steer for Home strip: 9 in 10."
    assert "Not marked: type r if it was let go, b after a burst." in found


def test_what_nobody_marked_is_asked_for() -> None:
    one = AFTER["gliding"]
    assert one.after is not None
    found = facts(replace(one, after=replace(one.after, is_marked=False)))
    assert "Not marked: taken as gliding (19 in 20). Type r." in found
    fell = facts(replace(one, after=replace(one.after, is_by_fall=True)))
    assert "By how it sinks it is gliding (19 in 20), not as marked." in fell


def test_low_down_only_the_landing_is_told() -> None:
    high, wind, *_, last = facts(AFTER["low"])
    assert high == "260 m over the field."
    assert wind.startswith("Low over Home strip the wind comes from 240°")
    assert last == "When it is down: type landed."
    assert not any("unsteered" in one for one in facts(AFTER["low"]))


def test_unsteered_the_aim_leads_and_the_ways_down_follow() -> None:
    found = facts(AFTER["unsteered"])
    assert found[:2] == [
        "From Hill aim at 138°, 32° up, 38 km off.",
        "Once the picture is back steer for Home strip: 19 in 20 if steered.",
    ]
    assert "If hands off: down 11:30, 120 km on, 9 in 10 within 31 km." in found
    assert "If spiral: down 09:55, 41 km on, 9 in 10 within 10 km." in found


def test_over_the_field_height_is_flown_off() -> None:
    assert "Lose 5.5 km before the packs end, 10:05: sink 2.0 m/s or faster." in facts(
        AFTER["over"]
    )


def test_out_of_reach_in_the_middle_is_said() -> None:
    one = AFTER["gliding"]
    assert one.after is not None
    assert one.after.steer is not None
    far = replace(one.after, steer=replace(one.after.steer, arrival_agl_m=None))
    assert "It is 41 km off, and out of reach in the middle." in facts(replace(one, after=far))


def test_down_it_is_to_be_marked() -> None:
    assert any("type landed" in one for one in facts(AFTER["down"]))


def test_too_late_is_said_as_such() -> None:
    advice = AFTER["gliding"]
    assert advice.after is not None
    assert advice.after.steer is not None
    steer = replace(advice.after.steer, down_after_launch_s=7800.0)
    found = facts(replace(advice, after=replace(advice.after, steer=steer)))
    assert "Packs end 10:05, down 10:10: 5 min too late." in found


@pytest.mark.parametrize("name", list(AFTER))
@pytest.mark.parametrize("size", [LEAST, (120, 40)])
def test_it_fits_the_screen(name: str, size: tuple[int, int]) -> None:
    n_columns, n_rows = size
    view = replace(VIEW, advice=AFTER[name], phase=name + " now", is_loose=True)
    lines = view_lines(view, n_columns, n_rows)
    assert len(lines) == n_rows - 1
    assert max(map(len, lines)) <= n_columns


def test_the_ladder_marks_what_ends_at_which_height() -> None:
    view = replace(VIEW, advice=AFTER["gliding"], phase="gliding", is_loose=True)
    ladder = [line[:25].rstrip() for line in view_lines(view, 80, 24)]
    assert "   17   | x Home strip >" in ladder
    assert " 23.4 =>|" in ladder
