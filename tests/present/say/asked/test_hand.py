"""The hand-over in words."""

from dataclasses import replace

from farglide.outlook.asked import HandNow
from farglide.present.say.asked.hand import hand_reply

from .samples import CLOCK

FOUND = HandNow(
    after_launch_s=4200.0, words="alfa bravo charlie delta 1 2 6 7 papa quebec romeo 9",
    lat_deg=-46.797, lon_deg=108.506, amsl_m=25_000.0, phase="climbing", field="Home strip",
    left_s=245.0, wind="as told",
)  # fmt: skip


def test_it_is_read_aloud_in_three_groups() -> None:
    told = hand_reply(FOUND, CLOCK)
    assert told.answer == "Over alfa bravo charlie delta, 1 2 6 7, papa quebec romeo 9."
    assert told.number == (
        "Climbing, 25.0 km, 46.797 S 108.506 E, for Home strip, 4 min left; winds as told."
    )
    assert told.until.startswith("Of 16:10, to 20 s")
    bare = hand_reply(replace(FOUND, field="", left_s=None), CLOCK)
    assert bare.number == "Climbing, 25.0 km, 46.797 S 108.506 E; winds as told."
