"""The car in words."""

from dataclasses import replace
from math import inf

from farglide.outlook.askedcar import StandNow
from farglide.present.say.asked.car import lost_reply, park_reply, picture_reply
from farglide.present.say.asked.reply import Reply

from .samples import AWAY, CLOCK, COMMAND_LINK, LOST, PARK, PICTURE_LINK, SEEN, STAND


def parked(*stands: StandNow) -> Reply:
    return park_reply(replace(PARK, stands=stands), CLOCK)


def test_park_says_whereto_and_by_when() -> None:
    told = parked(AWAY, STAND)
    assert told.answer == "Go to Stile Gap, set off by 16:25."
    assert told.number == (
        "Links hold to Home strip 19 in 20. Picture down to the ground. "
        "14 min to drive, 4 min to set up."
    )
    assert told.until == "Set up there at 16:34 if you leave now; the window opens at 16:43."
    assert "At the release 75° up: hardly heard overhead." in told.why
    other = dict(told.more)["Wether Knap"]
    assert other.startswith("there now. Links hold to Home strip under 1 in 50, to Far meadow")
    assert "Picture lost 391 m over the field." in other


def test_park_says_that_it_is_late_or_hidden() -> None:
    late = replace(AWAY, set_off_after_launch_s=4000.0)
    assert parked(late).answer == "Set off for Stile Gap now, 9 min late."
    assert parked(STAND).answer == "Stay, but Home strip is hidden from here."
    assert parked(STAND).until == "You are set up there; the window opens at 16:43."
    good = replace(STAND, holds_ratio=(("Home strip", 0.9),))
    assert parked(good).answer == "Stay at Wether Knap."
    nothing = replace(STAND, holds_ratio=(("Home strip", 0.1),), lost_agl_m=None)
    assert parked(nothing).number == (
        "Links hold to Home strip 1 in 10. No picture over the field from there."
    )
    assert "after the release is due" in dict(parked(STAND, AWAY).more)["Stile Gap"]


def test_without_a_release_or_stands() -> None:
    free = replace(AWAY, set_off_after_launch_s=None, holds_ratio=())
    told = park_reply(replace(PARK, stands=(free,), from_after_launch_s=None), CLOCK)
    assert told.answer == "Go to Stile Gap: it hears best."
    assert told.until == "Set up there at 16:34 if you leave now."
    assert parked().answer == "No stand is stated, so nothing is known."


def test_a_closed_road_is_told_and_never_driven() -> None:
    shut = replace(AWAY, drive_s=inf, ready_after_launch_s=inf, set_off_after_launch_s=None,
                   holds_ratio=(), is_in_time=False)  # fmt: skip
    assert dict(parked(STAND, shut).more)["Stile Gap"].startswith("The road there is closed. ")
    told = parked(shut)
    assert told.answer == "Stay: no road to a stand is open."
    assert told.change == "A road that opens again: take it back, or type how much longer it is."


def test_the_picture_to_expect() -> None:
    told = picture_reply(SEEN, CLOCK)
    assert told.answer == "Expect picture 3 of 5."
    assert told.number == (
        "+6 dB in hand at Wether Knap, give or take 2: it holds now over 49 in 50."
    )
    assert dict(told.more)["Command"] == "+15 dB in hand: an order arrives over 49 in 50."
    assert dict(told.more)["Stile Gap"] == "picture 3, +6 dB. Picture down to the ground."
    weak = replace(STAND, links=(replace(PICTURE_LINK, margin_db=-4.0, grade=0),))
    told = picture_reply(replace(SEEN, stands=(weak,)), CLOCK)
    assert told.answer == "Expect picture none of 5, and may go."
    deaf = replace(STAND, links=(COMMAND_LINK,))
    assert picture_reply(replace(SEEN, stands=(deaf,)), CLOCK).answer == (
        "No picture link is stated."
    )
    both = picture_reply(replace(SEEN, stands=(STAND, deaf)), CLOCK)
    assert dict(both.more)["Wether Knap"].startswith("no picture link.")
    assert picture_reply(replace(SEEN, stands=()), CLOCK).answer.startswith("No stand")


def test_without_a_picture_there_is_a_time_to_mend_and_an_order() -> None:
    told = lost_reply(LOST, CLOCK)
    assert told.answer == "Fix it until 16:23, then send unseen."
    assert told.number == (
        "7 min in hand. Command should work: +15 dB, arrives over 49 in 50."
    )  # fmt: skip
    assert told.until == "Release by 16:23, for Home strip 9 in 10 with a picture after it."
    assert dict(told.more)["Aim"].startswith("from Wether Knap 131°, four fists up")
    assert dict(told.more)["In 5 min"] == "28.0 km, 46.700 S 108.400 E; burst by then 2 in 10."
    now = lost_reply(replace(LOST, fix_until_after_launch_s=4500.0, chance_ratio=None), CLOCK)
    assert now.answer == "Send the release now, unseen. Repeat it."
    assert now.number.startswith("Nothing in hand.")


def test_without_a_window_or_a_stand() -> None:
    none = replace(LOST, fix_until_after_launch_s=None, release_by_after_launch_s=None, stand=None)
    told = lost_reply(none, CLOCK)
    assert told.answer == "Get it back. No release is due yet."
    assert told.number == "Nothing is known of the command link."
    weak = replace(STAND, links=(replace(COMMAND_LINK, margin_db=-3.0, holds_ratio=0.2),))
    nose = replace(weak, nose_deg=90.0)
    told = lost_reply(replace(LOST, stand=nose), CLOCK)
    assert "Command may not work: −3 dB" in told.number
    assert "half past one" in dict(told.more)["Aim"]
