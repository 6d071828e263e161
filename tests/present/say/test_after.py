"""After the release in words: each fact by itself."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER, BARRIER, LANDING, STEER

from farglide.outlook.after import AfterNow
from farglide.outlook.ascent import Spread
from farglide.present.say.after import (
    aim_words,
    barrier_words,
    circle_words,
    circuit_words,
    ends_words,
    field_words,
    landing_words,
    link_words,
    needs_words,
    spare_text,
    speed_words,
    stage_words,
    steer_words,
    way_words,
)
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")
GLIDING = AFTER["gliding"]
assert GLIDING.after is not None
NOW: AfterNow = GLIDING.after


def test_speeds_are_what_a_crew_reads_off() -> None:
    assert speed_words(STEER) == (
        "Fly track 312°, ground speed 71 m/s, sink 11.9 m/s, down to 23.7 km."
    )
    assert way_words(STEER) == ("That is as high as packs and light allow (airspeed 16 m/s EAS).")


def test_where_to_steer_with_how_much_to_spare() -> None:
    assert next(steer_words(STEER, CLOCK)) == (
        "Steer for Home strip, 41 km off: 9 in 10, over it about 09:30, with 4.1–6.9 km to spare "
        "at most."
    )
    short = next(steer_words(replace(STEER, arrival_agl_m=None), CLOCK))
    assert "out of reach" in short
    assert spare_text(Spread(p10=-5.0, p50=900.0, p90=2000.0)) == "0.0–2.0"
    assert spare_text(Spread(p10=901.0, p50=902.0, p90=903.0)) == "0.9"


def test_over_the_field_height_is_lost_in_time() -> None:
    # 5.5 km in the 2 700 s until the packs end
    assert circle_words(STEER, GLIDING, CLOCK) == (
        "Lose 5.5 km before the packs end, 10:05: sink 2.0 m/s or faster."
    )


def test_more_height_than_can_be_lost_in_time_is_told_so() -> None:
    """24 km in 300 s would be a mean sink of 80 m/s: no glider has one."""
    high = replace(STEER, down_after_launch_s=STEER.must_end_after_launch_s + 60.0)
    assert circle_words(high, GLIDING, CLOCK) == (
        "5.5 km to lose, more than can be before the packs end, 10:05: as steep as it may."
    )


def test_what_sinks_steeper_than_any_glide_circles() -> None:
    steep = replace(STEER, ground_mps=2.0, sink_mps=67.0)
    assert speed_words(steep) == (
        "Circle down on the way, track 312°: sink 67.0 m/s, down to 23.7 km."
    )


def test_packs_and_light_against_the_landing() -> None:
    assert ends_words(STEER, CLOCK) == (
        "The packs end 10:05; flown so it is down by 10:00, 5 min before."
    )
    late = replace(STEER, down_after_launch_s=7800.0, must_end_by="light")
    assert ends_words(late, CLOCK) == "The light ends 10:05, 5 min before it is down (10:10)."


def test_each_field_until_when() -> None:
    home, far, mill = (field_words(one, GLIDING, CLOCK) for one in GLIDING.fields)
    assert home == (
        "Home strip: open, 19 in 20 if it is steered (9 in 10 in all), 5.5 km to spare; shut in "
        "16 min, at 17.2 km, if nobody steers (hands off)."
    )
    doubted = replace(GLIDING.fields[0], chance_ratio=0.65)
    assert field_words(doubted, GLIDING, CLOCK).startswith(
        "Home strip: open, 19 in 20 if it is steered (7 in 10 in all), 5.5 km to spare"
    )
    assert far == "Far meadow: open, 9 in 10, 2.0 km to spare; doubtful from 09:22 on this way."
    assert mill == "Mill lea: shut, under 1 in 50."
    tied = AFTER["tied on"]
    assert field_words(tied.fields[0], tied, CLOCK) == "Home strip: open, 9 in 10, 970 s left."
    assert field_words(tied.fields[1], tied, CLOCK).endswith("more than 10 min left.")


def test_a_barrier_with_the_last_moment_to_turn_back() -> None:
    assert list(barrier_words(BARRIER, CLOCK)) == [
        "Gollan Wood at 09:21: 18.2 km high there, 17.1 km needed; past it 19 in 20.",
        "Turning back still reaches Far meadow until 09:22.",
    ]
    gone = replace(BARRIER, turn_back_until_after_launch_s=None, commit_amsl_m=None)
    first, second = barrier_words(gone, CLOCK)
    assert "no height there is enough" in first
    assert second == "Far meadow on this side is not open any more: do not turn back."
    assert list(barrier_words(replace(BARRIER, behind=""), CLOCK))[1] == (
        "No field lies on this side."
    )


def test_links_that_hold_and_that_end() -> None:
    assert list(link_words(NOW, CLOCK)) == [
        "Command holds all the way from Hill.",
        "Picture ends about 09:28, at 6.2 km, from Hill.",
    ]
    both = replace(NOW, links=(NOW.links[0], replace(NOW.links[0], purpose="picture")))
    assert list(link_words(both, CLOCK)) == ["Command and picture hold all the way from Hill."]
    assert list(link_words(replace(NOW, links=()), CLOCK)) == []


@pytest.mark.parametrize(
    ("stand", "words"),
    [
        ("Hill", "From Hill the picture is lost below 391 m over it."),
        ("Far side", "From Far side the picture is lost up to 3 km over it."),
    ],
)
def test_the_landing_tells_wind_and_picture(stand: str, words: str) -> None:
    assert NOW.aim is not None
    after = replace(NOW, aim=replace(NOW.aim, stand=stand))
    assert list(landing_words(LANDING, after)) == [
        "Low over Home strip the wind comes from 240°, 5 m/s.", words
    ]  # fmt: skip
    assert len(list(landing_words(LANDING, replace(NOW, aim=None)))) == 1
    assert "turn to 240°" in " ".join(circuit_words(LANDING))


def test_what_it_is_taken_for_and_how_sure() -> None:
    assert stage_words(GLIDING, NOW) == "Released and gliding, for 3 min."
    taken = stage_words(GLIDING, replace(NOW, is_marked=False))
    assert taken == "Taken to be released and gliding (19 in 20), for 3 min: nobody marked it."
    assert stage_words(AFTER["down"], NOW) == "Down, by its height; off the balloon 3 min ago."
    # how sure: of what the stage says, whatever is likeliest; and it is no mark's word
    spiral = replace(AFTER["unsteered"], after=replace(NOW, is_by_fall=True))
    assert spiral.after is not None
    assert stage_words(spiral, spiral.after) == (
        "Taken to be off the balloon, and nobody is known to steer (8 in 10), for 3 min: told by "
        "how it sinks, not by the marks."
    )
    dead = replace(NOW, packs_empty=True)
    assert stage_words(AFTER["unsteered"], dead) == (
        "Off the balloon, packs empty: nobody steers, for 3 min."
    )


def test_aim_and_ages() -> None:
    assert aim_words(NOW) == "From Hill aim at 138°, 32° up, 38 km off."
    assert aim_words(replace(NOW, aim=None)) == ""
    assert needs_words(GLIDING) == (
        "Data: place 2 s (fresh), picture 40 s (ageing), car never (unknown)."
    )
