"""Sun and power in words."""

from dataclasses import replace

import pytest

from farglide.present.say.asked.sky import power_reply, sun_reply

from .samples import AIM, ARRIVAL, CLOCK, PACK, POWER, SUN

TEN = "Turn until the sun is at ten o'clock, 60° to the left; then straight."


@pytest.mark.parametrize(
    ("sun", "answer"),
    [
        (SUN, TEN),
        (replace(SUN, elevation_deg=-1.0), "No sun to steer by: 310° is Home strip."),
        (replace(SUN, elevation_deg=64.0),
         f"{TEN} It stands too high to trust."),
        (replace(SUN, aims=(replace(AIM, right_deg=10.0),)),
         "Turn until the sun is at half past twelve, 15° to the right; then straight. Expect "
         "glare."),
        (replace(SUN, aims=(replace(AIM, right_deg=150.0),)),
         "Turn until the sun is at five o'clock, 150° to the right; then straight. It leaves the "
         "picture."),
        (replace(SUN, aims=(replace(AIM, right_deg=None, steer_deg=None),)),
         "No heading reaches Home strip: the wind is faster."),
    ],
)  # fmt: skip
def test_the_sun_says_which_way_to_turn(sun: object, answer: str) -> None:
    assert sun_reply(sun, CLOCK).answer == answer  # type: ignore[arg-type]


def test_the_sun_is_told_with_numbers_and_until_when() -> None:
    told = sun_reply(replace(SUN, aims=(AIM, replace(AIM, field="Far meadow"))), CLOCK)
    assert told.number == (
        "Sun bears 257°, 14° up; Home strip bears 310°, 57 km, steer 313°."
    )  # fmt: skip
    assert told.until == "Good for 41 min, to 16:57; then ask again."
    assert "wind from 107° 8 m/s" in told.why
    assert dict(told.more)["Far meadow"].startswith("sun at ten o'clock; Far meadow bears")
    assert dict(told.more)["Sets"] == (
        "up there 18:28, on the ground at Home strip 17:53, dark not today."
    )
    blown = replace(AIM, right_deg=None, steer_deg=None)
    assert sun_reply(replace(SUN, aims=(blown,)), CLOCK).until.startswith("The next wind")


def test_a_field_that_is_not_open_is_said_so_before_the_sun() -> None:
    shut = replace(AIM, state="shut", chance_ratio=0.2)
    far = replace(AIM, field="Far meadow", state="doubtful", chance_ratio=0.7)
    told = sun_reply(replace(SUN, aims=(shut, far)), CLOCK)
    assert told.answer == f"Home strip is shut, let go now: 2 in 10. {TEN}"
    assert dict(told.more)["Far meadow"].startswith("doubtful, 7 in 10; sun at ten o'clock")


def test_power_for_a_field_that_is_shut_now_says_when_it_is_let_go() -> None:
    later = replace(ARRIVAL, let_go_after_launch_s=5160.0)
    told = power_reply(replace(POWER, state="shut", chance_ratio=0.2, arrivals=(later,)), CLOCK)
    assert told.answer.endswith("left over the field, let go at 16:26.")
    assert told.why.startswith("Home strip is shut, let go now: 2 in 10. Let go at 16:26: over")


def test_power_says_what_binds_and_what_is_left() -> None:
    told = power_reply(POWER, CLOCK)
    assert told.answer == "Enough: 29 min left over the field."
    assert "Pack all: empty about 17:10, counted to 17:07." in told.number
    assert "29 min before that" in told.number
    assert told.until == "17:07: battery ends first."
    assert "down 18:31 at best glide: too late, so fly faster" in told.why


def test_too_late_is_told_so() -> None:
    late = replace(ARRIVAL, soonest_after_launch_s=8000.0)
    told = power_reply(replace(POWER, arrivals=(ARRIVAL, late)), CLOCK)
    assert told.answer == "Not enough: battery ends 6 min too early."
    assert "6 min after that" in told.number
    hurry = replace(ARRIVAL, soonest_after_launch_s=7500.0)
    assert power_reply(replace(POWER, arrivals=(hurry,)), CLOCK).answer.startswith("Fly fast: 2")
    later = replace(ARRIVAL, let_go_after_launch_s=4800.0)
    assert "Let go at 16:20:" in power_reply(replace(POWER, arrivals=(later,)), CLOCK).why


def test_the_sun_binds_where_it_sets_first_and_names_tell_packs_apart() -> None:
    dusk = power_reply(replace(POWER, sets_after_launch_s=6000.0), CLOCK)
    assert dusk.until == "16:40: sun sets first."
    two = replace(POWER, packs=(PACK, replace(PACK, name="camera")))
    assert power_reply(two, CLOCK).until == "17:07: battery all ends first."


def test_out_of_reach_and_without_ends() -> None:
    out = power_reply(replace(POWER, arrivals=()), CLOCK)
    assert out.answer == "Battery ends at 17:07; Home strip is out of reach."
    none = replace(POWER, packs=(), sets_after_launch_s=None)
    assert power_reply(none, CLOCK).answer == "Nothing ends it: no pack, no dusk."
