"""Where a carried glider is, in words."""

from dataclasses import replace

from tests.live.advice import ADVICE

from farglide.outlook.freshness import Freshness
from farglide.present.say.placed import aim_lines, place_words
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def test_a_fresh_place_has_its_time_and_an_old_one_its_ring() -> None:
    fresh = replace(ADVICE.place, seen_after_launch_s=ADVICE.after_launch_s - 2.0)
    assert " km up, " in place_words(replace(ADVICE, place=fresh), CLOCK)
    old = replace(ADVICE.place, seen_after_launch_s=ADVICE.after_launch_s - 300.0)
    told = place_words(replace(ADVICE, place=old), CLOCK)
    assert told.startswith("Guessed for 5 min: ")
    assert "9 in 10 within" in told


def test_an_aim_says_how_rough_the_place_is_for_it() -> None:
    aims = tuple(
        replace(one, data=data)
        for one, data in zip(ADVICE.aims[:1] * 2, (Freshness.FRESH, Freshness.AGEING), strict=True)
    )
    fresh, rough = aim_lines(replace(ADVICE, aims=aims))
    assert fresh.startswith("From ")
    assert rough == f"{fresh.removesuffix('.')}; the place is ageing for that beam."
