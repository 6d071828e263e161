"""Advice in words: what is spoken is short, what is written is true of the numbers."""

from dataclasses import replace

import pytest

from farglide.outlook.advice import (
    Advice,
    AirNow,
    BurstAhead,
    FieldNow,
    FillNow,
    LeakNow,
    Level,
    PictureOff,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import AimNow, Freshness
from farglide.present.say.advice import QUESTIONS, advice_lines, answer_lines, spoken, waiting_words
from farglide.present.say.spokenafter import MOST_SPOKEN
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")  # 08:00
RELEASE = ReleaseAdvice(
    field="Home strip", from_amsl_m=23_200.0, to_amsl_m=27_800.0, from_after_launch_s=4120.0,
    to_after_launch_s=4690.0, release_by_after_launch_s=4660.0, chance_ratio=0.93,
    bound_by="burst", is_enough=True,
)  # fmt: skip
WAITS = tuple(
    Waited(seconds=s, chance_ratio=chance, climbed_m=up_m, burst_ratio=burst)
    for s, chance, up_m, burst in (
        (0.0, 0.3, 0.0, 0.0), (60.0, 0.4, 409.0, 0.0), (300.0, 0.9, 2093.0, 0.05),
    )
)  # fmt: skip
NO_WAITS = tuple(replace(one, chance_ratio=0.01) for one in WAITS)
ADVICE = Advice(
    after_launch_s=3600.0,
    level=Level.WATCH,
    data=Freshness.FRESH,
    place=PlaceNow(
        lat_deg=-46.7, lon_deg=108.5, amsl_m=19_540.0, half_within_m=300.0, most_within_m=900.0,
        seen_after_launch_s=3600.0,
    ),
    fields=(
        FieldNow(name="Home strip", state="shut", chance_ratio=0.3, open_ratio=0.3,
                 until_after_launch_s=3720.0, then="doubtful"),
        FieldNow(name="Far meadow", state="open", chance_ratio=0.95, open_ratio=0.95,
                 until_after_launch_s=None, then=None),
    ),
    release=RELEASE,
    waiting=WAITS,
    burst=BurstAhead(after_launch_s=Spread(p10=4761.0, p50=4941.0, p90=float("nan")),
                     amsl_m=Spread(p10=28e3, p50=30e3, p90=float("nan"))),
    leak=LeakNow(chance_ratio=0.01, since_after_launch_s=None,
                 top_amsl_m=Spread(p10=36e3, p50=38e3, p90=40e3)),
    air=AirNow(measured_ratio=0.28, ahead_ratio=0.02, spread_ratio=1.0),
)  # fmt: skip


def text(advice: Advice) -> str:
    return " ".join(" ".join(advice_lines(advice, CLOCK)).split())


@pytest.mark.parametrize(
    ("advice", "said"),
    [
        (ADVICE, "Wait. Window opens at 23.2 kilometres, about 09:08."),
        (
            replace(ADVICE, after_launch_s=4200.0),
            "Window open. Release by 09:17, or 27.8 kilometres.",
        ),
        (
            replace(ADVICE, level=Level.NOW, release=replace(RELEASE, field="the " * 8 + "end")),
            "Release now.",
        ),
        (replace(ADVICE, after_launch_s=4640.0, level=Level.NOW), "Release now, for Home strip."),
        (replace(ADVICE, after_launch_s=4800.0, level=Level.NOW), "Past the window. Release now."),
        (replace(ADVICE, release=None), "No good height ahead. Best now: Far meadow."),
        (replace(ADVICE, release=None, fields=ADVICE.fields[:1]),
         "No field is in reach yet. Wait."),
        (replace(ADVICE, release=None, fields=ADVICE.fields[:1], waiting=NO_WAITS),
         "No field is in reach. Look for open ground."),
        (replace(ADVICE, release=None, fields=(replace(ADVICE.fields[1], name="A B C D E"),)),
         "No good height ahead. Release is best now."),
    ],
)  # fmt: skip
def test_what_is_spoken_is_short_and_says_what_to_do(advice: Advice, said: str) -> None:
    assert spoken(advice, CLOCK) == said
    assert len(said.split()) <= MOST_SPOKEN
    assert advice_lines(advice, CLOCK)[0] == said


def test_the_release_is_told_with_height_clock_chance_and_what_ends_it() -> None:
    told = text(ADVICE)
    assert "For Home strip, from 23.2 to 27.8 km (about 09:08 to 09:18): the chance is" in told
    assert "Release by 09:17: after that a burst becomes likely." in told
    assert "less than you asked for" not in told
    assert "less than you asked for" in text(
        replace(ADVICE, release=replace(RELEASE, is_enough=False))
    )
    assert "At no height ahead is a field open" in text(replace(ADVICE, release=None))


def test_waiting_has_a_price_or_none() -> None:
    waiting = replace(ADVICE, waiting=WAITS)
    assert waiting_words(waiting) == (
        "Released now, for Home strip: 3 in 10; in 1 min 4 in 10 (0.4 km higher), in 5 min "
        "9 in 10 (2.1 km higher, burst by then 1 in 20)."
    )
    even = tuple(replace(one, chance_ratio=0.95) for one in WAITS)
    flat = "Released now, for {}: 19 in 20, and as likely for 5 min to come: waiting costs nothing."
    assert waiting_words(replace(ADVICE, waiting=even)) == flat.format("Home strip")
    best = max(ADVICE.fields, key=lambda one: one.chance_ratio).name
    without = replace(ADVICE, waiting=even, release=None)
    assert waiting_words(without) == flat.format(best)  # none is advised: of the best one now


def test_fields_say_until_when() -> None:
    told = text(ADVICE)
    assert "Home strip: shut, 3 in 10; doubtful from 09:02." in told
    assert "Far meadow: open, 19 in 20, and so it stays until the burst." in told


def test_a_burst_that_need_not_come_is_told_so() -> None:
    assert "1 in 10 by 09:19, 5 in 10 by 09:22, fewer than 9 in 10 ever." in text(ADVICE)


LEAKS = LeakNow(chance_ratio=0.96, since_after_launch_s=2280.0,
                top_amsl_m=Spread(p10=23_100.0, p50=24_600.0, p90=26_600.0))  # fmt: skip


def test_a_leak_is_told_with_its_beginning_and_where_it_ends() -> None:
    assert "leaks" not in text(ADVICE)
    told = text(replace(ADVICE, leak=LEAKS))
    assert "The climb is falling off: it leaks since about 08:38, with a chance of" in told
    assert "It tops out at about 24.6 km (23.1 to 26.6), and then sinks." in told
    assert "No burst is coming" not in told
    none = Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))
    sinking = replace(ADVICE, leak=LEAKS, burst=BurstAhead(after_launch_s=none, amsl_m=none))
    assert "No burst is coming: do not wait for one." in text(sinking)
    said = spoken(replace(ADVICE, leak=LEAKS, level=Level.DECIDE), CLOCK)
    assert said == "It leaks. Release from 23.2 kilometres, by 09:17."


def test_a_leak_that_may_be_none_is_no_alarm() -> None:
    perhaps = replace(LEAKS, chance_ratio=0.6)
    told = text(replace(ADVICE, leak=perhaps))
    assert (
        "The climb is falling off: it may leak since about 08:38, with a chance of 6 in 1" in told
    )
    said = spoken(replace(ADVICE, leak=perhaps, level=Level.DECIDE), CLOCK)
    assert "leak" not in said
    assert len(said.split()) <= MOST_SPOKEN


def test_each_question_is_answered_by_its_first_line() -> None:
    first = {name: answer_lines(name, ADVICE, CLOCK)[0] for name in QUESTIONS}
    assert first["where"] == "19.5 km up, 46.700 S 108.500 E, at 09:00."
    assert first["burst"].startswith("It bursts about ")
    assert first["now"] == first["wait"] == spoken(ADVICE, CLOCK)
    assert all("Where" not in one for one in answer_lines("where", ADVICE, CLOCK))
    assert ADVICE.burst is not None
    never = Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))
    calm = replace(ADVICE, burst=replace(ADVICE.burst, after_launch_s=never))
    assert answer_lines("burst", calm, CLOCK)[0] == "It is not likely to burst any more."


def test_a_place_without_news_is_told_as_guessed() -> None:
    assert "19.5 km up, 46.700 S 108.500 E, at 09:00." in text(ADVICE)
    old = replace(ADVICE, place=replace(ADVICE.place, seen_after_launch_s=3300.0))
    assert (
        "Guessed for 5 min: 19.5 km up, 46.700 S 108.500 E, 9 in 10 within 0.9 km of it."
        in text(old)
    )


def test_the_air_is_told_by_what_was_measured() -> None:
    assert (
        "taken away 30 % of the doubt about the winds below here, and hardly any of that"
        in text(ADVICE)
    )
    assert "miss the forecast" not in text(ADVICE)
    wide = replace(ADVICE, air=AirNow(measured_ratio=0.5, ahead_ratio=0.1, spread_ratio=1.6))
    assert "The winds miss the forecast 1.6 times as far as was said" in text(wide)
    assert "50 % of the doubt about the winds below here, and 10 % of that about" in text(wide)


def test_a_float_is_said_first_and_told_with_its_time() -> None:
    leak = replace(ADVICE.leak, floats_since_after_launch_s=3300.0)
    floating = replace(ADVICE, level=Level.DECIDE, leak=leak)
    assert spoken(floating, CLOCK) == "It climbs no more. Release by 09:17."
    assert "It climbs no more since about 08:55: do not wait for height" in text(floating)


def test_fill_picture_and_aim_are_told_where_they_differ() -> None:
    more = replace(
        ADVICE,
        fill=FillNow(told_kg=1.6, told_sd_kg=0.1,
                     neck_lift_kg=Spread(p10=1.7, p50=1.78, p90=1.86)),
        picture=PictureOff(link="Camera", offset_db=-6.2, offset_sd_db=2.4),
        aims=(AimNow(stand="Knap", azimuth_deg=45.2, elevation_deg=31.6, range_m=2e4,
                     beam_deg=20.0, data=Freshness.AGEING),),
        fields=(replace(ADVICE.fields[0], data=Freshness.GUESSED), ADVICE.fields[1]),
    )  # fmt: skip
    said = text(more)
    assert "By its climb it lifts 1.78 kg at the neck (1.70 to 1.86), told 1.60." in said
    assert "Camera is 6 dB weaker than its budget, give or take 2: its end is told by that" in said
    assert "From Knap aim at 045°, 32° up; the place is ageing for that beam." in said
    assert "(the place is guessed for it)" in said
    little = replace(more, fill=replace(more.fill, neck_lift_kg=Spread(p10=1.6, p50=1.62, p90=1.7)),
                     picture=replace(more.picture, offset_db=1.0))  # fmt: skip
    assert "at the neck" not in text(little)
    assert "budget" not in text(little)
