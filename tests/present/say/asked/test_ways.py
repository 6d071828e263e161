"""Ways home in words."""

from dataclasses import replace

import pytest

from farglide.present.say.asked.ways import barrier_reply, putdown_reply, speed_reply

from .samples import BARRIER, CLOCK, PUTDOWN, ROWS, SPEED, SPOT, WAY, station

NAN = float("nan")


def test_speed_is_told_as_the_crew_can_read_it() -> None:
    told = speed_reply(SPEED, CLOCK)
    assert told.answer == "Fly 57 m/s over ground, sinking 8 (EAS 10)."
    assert told.number == (
        "For Home strip: level at 24.2 km, 18 s after the release; 15.9 km to spare over it."
    )
    assert told.until == "Next change at 20 km: 57 m/s over ground, sinking 11 (EAS 10)."
    assert "flown faster" in told.why
    assert dict(told.more)["24 km"].endswith("fast 69 over ground, 12 sink")


def test_a_speed_for_a_field_that_is_shut_says_so() -> None:
    told = speed_reply(replace(SPEED, state="shut", chance_ratio=0.2), CLOCK)
    assert told.answer.startswith("Home strip is shut, let go now: 2 in 10. Fly 57 m/s")


def test_the_flattest_way_is_flown_where_it_lands_in_time() -> None:
    told = speed_reply(replace(SPEED, is_in_time=True, spare_m=None), CLOCK)
    assert told.answer == "Fly 50 m/s over ground, sinking 5 (EAS 9)."
    assert told.until == "No change worth a word down to the field."
    assert "lands in time" in told.why
    assert told.number == "For Home strip: level at 24.2 km, 18 s after the release."
    circles = replace(ROWS[0], flat_ground_mps=None)
    assert speed_reply(replace(SPEED, rows=(circles,), is_in_time=True), CLOCK).answer == (
        "Fly 69 m/s over ground, sinking 12 (EAS 12)."
    )
    assert speed_reply(replace(SPEED, rows=()), CLOCK).answer == (
        "No speed reaches Home strip from here."
    )


@pytest.mark.parametrize(
    ("over_m", "commit_m", "answer"),
    [
        (22_000.0, 16_000.0, "It gets past Gollan Wood, let go now."),
        (12_000.0, 16_000.0, "Not past Gollan Wood yet: wait for height."),
        (None, 16_000.0, "Not across Gollan Wood: out of reach now."),
        (22_000.0, NAN, "Do not cross Gollan Wood: no height suffices."),
    ],
)
def test_a_barrier_is_passed_or_not(over_m: float | None, commit_m: float, answer: str) -> None:
    way = replace(WAY, stations=(station(commit_m, 1300.0),) * 3)
    told = barrier_reply(replace(BARRIER, ways=(way,), over_edge_amsl_m=(over_m,)), CLOCK)
    assert told.answer == answer


def test_turning_back_is_told_with_its_height_and_time() -> None:
    told = barrier_reply(BARRIER, CLOCK)
    assert told.until == (
        "Turning back to Brackmoor takes 1.3 km at the edge; crossed at 16.0 km, it stays in reach "
        "for 36 min beyond the edge."
    )
    assert told.number == (
        "Home strip let go now: 9 in 10. Over its edge at 22.0 km; 16.0 km are needed there."
    )
    assert told.why == "With 16.0 km at its edge the chance to come in is 9 in 10."
    shut = replace(WAY, stations=(station(16e3, NAN),) * 3, decision_s=NAN)
    assert barrier_reply(replace(BARRIER, ways=(shut,)), CLOCK).until == (
        "Turning back to Brackmoor is possible from no height."
    )
    alone = replace(WAY, behind="", stations=(station(16e3, None),) * 3)
    two = replace(BARRIER, ways=(alone, WAY), over_edge_amsl_m=(None, None))
    told = barrier_reply(two, CLOCK)
    assert told.until.startswith("No field lies on this side")
    assert dict(told.more)["Gollan Wood"] == "Its edge is not reached; 16.0 km are needed there."
    assert barrier_reply(replace(BARRIER, ways=(), over_edge_amsl_m=()), CLOCK).answer == (
        "No barrier lies on the way to Home strip."
    )


def test_where_to_put_it() -> None:
    told = putdown_reply(PUTDOWN, CLOCK)
    assert told.answer == "Put it at 46.900 S 108.100 E."
    assert told.number == "19 in 20 to get there, let go now; 32 km off, bearing 250°."
    assert told.why == (
        "Open ground, 200 m from a road, slope 1°, in sight of 2 stands. Best field: Home strip "
        "3 in 10."
    )
    assert len(told.more) == 1
    near = putdown_reply(replace(PUTDOWN, best_ratio=0.95), CLOCK)
    assert near.answer == "Home strip is open: land there."
    assert near.number.startswith("Else open ground at 46.900 S 108.100 E: 19 in 20 to get there")
    bare = replace(SPOT, road_m=float("inf"), slope_deg=NAN, n_seen_by=0)
    told = putdown_reply(
        replace(PUTDOWN, otherwise=replace(PUTDOWN.otherwise, places=(bare,))), CLOCK
    )
    assert told.why.startswith("Open ground, no road known, in sight of no stand.")


def test_without_places_or_ground_nothing_is_offered() -> None:
    other = PUTDOWN.otherwise
    none = replace(PUTDOWN, otherwise=replace(other, places=()))
    assert putdown_reply(none, CLOCK).answer == "No open ground is in reach now."
    blind = replace(PUTDOWN, otherwise=replace(other, places=(), knows_ground=False))
    assert putdown_reply(blind, CLOCK).answer == "Nothing is known of the ground."
