"""The sun after the release in words."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER

from farglide.present.say.asked.loose.sky import sun_after_reply
from farglide.present.say.asked.reply import COLUMNS, reply_lines

from .samples import AIM, CLOCK, GLIDING, SUN

UNTIL_TEN = "urn until the sun is at ten o'clock, 60° to the left; then straight."


@pytest.mark.parametrize(
    ("stage", "answer"),
    [
        ("gliding", f"T{UNTIL_TEN}"),
        (
            "dropped",
            f"Hold still until it is level. Then: t{UNTIL_TEN}",
        ),
        (
            "tied on",
            f"Send the release first. Then: t{UNTIL_TEN}",
        ),
        ("over", "It is over Home strip: circle, there is no course to hold."),
        ("low", "Land into the wind: sun at half past twelve, 15° to the right."),
        (
            "no field",
            f"No field is in reach. T{UNTIL_TEN}",
        ),
        ("down", "It should be down: there is nothing to turn."),
    ],
)
def test_the_sun_says_which_way_to_turn(stage: str, answer: str) -> None:
    told = sun_after_reply(SUN, AFTER[stage], CLOCK)
    assert told.answer == answer
    assert max(map(len, reply_lines(told))) <= COLUMNS


def test_the_way_into_the_wind_is_told_too() -> None:
    told = sun_after_reply(SUN, GLIDING, CLOCK)
    # the sun bears 257, the wind low over the field comes from 240: 17 degrees to the right of it
    assert (
        dict(told.more)["Land"]
        == "into the wind from 240°: sun at half past twelve, 15° to the right."
    )
    assert told.why.endswith("through the air 64 m/s as advised.")
    dark = sun_after_reply(replace(SUN, elevation_deg=-2.0), GLIDING, CLOCK)
    assert "Land" not in dict(dark.more)


def test_a_place_that_is_hardly_known_gives_no_course() -> None:
    wide = replace(GLIDING, place=replace(GLIDING.place, most_within_m=10_000.0))
    told = sun_after_reply(SUN, wide, CLOCK)  # atan(10 / 41)
    assert told.why.startswith("The place is known to 10.0 km alone: the course may be 14° off.")
    near = replace(SUN, aims=(replace(AIM, distance_m=8000.0),))
    assert sun_after_reply(near, wide, CLOCK).answer == (
        f"Too unsure for a course: first read its place. If it must be: t{UNTIL_TEN}"
    )
    over = replace(AFTER["over"], place=wide.place)
    assert sun_after_reply(near, over, CLOCK).answer.startswith("It is over Home strip")
