"""The hand-over after the release in words."""

from dataclasses import replace

from farglide.outlook.asked import HandNow
from farglide.present.say.asked.hand import hand_reply
from farglide.present.say.asked.loose.hand import hand_after_reply

from .samples import CLOCK, GLIDING

HAND = HandNow(
    after_launch_s=4800.0, words="over whiskey victor hotel yankee", lat_deg=-46.7, lon_deg=108.5,
    amsl_m=23_400.0, phase="gliding", field="Home strip", left_s=480.0, wind="as told",
)  # fmt: skip


def test_it_is_told_as_before_with_what_it_does_now() -> None:
    told = hand_after_reply(HAND, GLIDING, CLOCK)
    assert told == hand_reply(HAND, CLOCK)
    assert told.number.startswith("Gliding, 23.4 km")
    assert "8 min" in told.number
    assert "8 min" not in hand_after_reply(replace(HAND, left_s=None), GLIDING, CLOCK).number
