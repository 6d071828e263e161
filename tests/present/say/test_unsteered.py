"""Seconds left, and what comes down by itself."""

from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.present.say.text import FlightClock
from farglide.present.say.unsteered import (
    first_left,
    hands_off_words,
    never_left,
    seconds_text,
    unsteered_part,
)

CLOCK = FlightClock(launch_t_s=1_800_697_200.0, zone="UTC+07:00")  # 2027-01-23T09:40:00Z


def test_seconds_left_are_rounded_down(outlook: Outlook) -> None:
    left = outlook.seconds_left[0]
    said = [seconds_text(replace(left, seconds_s=s)) for s in (0.0, 9.9, 10.0, 119.0, 120.0)]
    assert said == ["under 10 s", "under 10 s", "10 s", "110 s", "120 s"]


def test_fields_out_of_reach_from_the_start_are_named(outlook: Outlook) -> None:
    assert never_left(outlook) == ["Brackmoor", "Corrand"]
    # the first three stand on the first screen
    (words,) = unsteered_part(outlook, CLOCK).facts
    beyond = "after a burst at 27 km, the glider still tied on, also in reach"
    assert words == f"{beyond}: Brackmoor not at all, Corrand not at all"
    more = tuple(replace(outlook.seconds_left[0], field=name) for name in ("Brackmoor", "Corrand"))
    every = replace(outlook, seconds_left=(*outlook.seconds_left, *more))
    assert unsteered_part(every, CLOCK).facts == [f"{beyond}: Corrand 140 s"]
    assert list(unsteered_part(replace(outlook, seconds_left=()), CLOCK).facts) == []


def test_after_a_burst_the_chosen_field_comes_first(outlook: Outlook) -> None:
    assert outlook.release is not None
    other = replace(outlook, release=replace(outlook.release, field="Tansy Lea"))
    assert [one.field for one in first_left(other)] == ["Tansy Lea", "Harrowend"]


def test_a_glider_nobody_steers_comes_down_somewhere_or_nobody_knows(outlook: Outlook) -> None:
    # down 13 770 s after 16:40:00
    assert hands_off_words(outlook, CLOCK) == (
        "hands off, it comes down about 20:29, 131 km downwind, near 47.600 S 109.900 E; 9 in 10 "
        "land within 42 km of it."
    )
    assert "nobody knows" in hands_off_words(replace(outlook, unsteered=()), CLOCK)
