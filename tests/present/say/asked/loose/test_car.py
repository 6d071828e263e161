"""The car after the release in words."""

from dataclasses import replace

import pytest
from tests.live.advice import AFTER

from farglide.outlook.askedafter import ParkAfter
from farglide.present.say.asked.loose.car import park_after_reply
from farglide.present.say.asked.reply import COLUMNS, reply_lines

from .samples import AWAY, CLOCK, GLIDING, HERE, PARK


@pytest.mark.parametrize(
    ("park", "answer"),
    [
        (PARK, "Stay at Hill until it has landed."),
        (replace(PARK, stands=(AWAY, HERE)), "Set off for Gap by 09:25 at the latest."),
        (replace(PARK, stands=(replace(AWAY, set_off_after_launch_s=4850.0),)),
         "Set off for Gap now."),
        (replace(PARK, stands=(replace(AWAY, is_in_time=False),)),
         "Stop where you are, antenna high: no stand is in time."),
        (replace(PARK, stands=()), "Go to where it comes down, about 26 min by road."),
    ],
)  # fmt: skip
def test_the_answer_is_where_to_be(park: ParkAfter, answer: str) -> None:
    told = park_after_reply(park, GLIDING, CLOCK)
    assert told.answer == answer
    assert max(map(len, reply_lines(told))) <= COLUMNS


def test_what_is_heard_and_until_when_is_told() -> None:
    told = park_after_reply(PARK, GLIDING, CLOCK)
    assert told.number == (
        "Picture and command all the way left: picture to 0.9 km. "
        "At Home strip the picture is lost below 391 m over it."
    )
    assert told.until == "Over Home strip about 09:30, down by 10:00."
    more = dict(told.more)
    assert more["Gap"].startswith("Set up 09:29 if you leave now. Picture and command 1 tenth of")
    assert more["Then"].startswith("To where it lands, about 26 min by road. Home strip 46.500 S")
    drive = park_after_reply(replace(PARK, stands=(AWAY, HERE)), GLIDING, CLOCK)
    assert "5 min to drive and 4 min to set up: so long nobody sees it." in drive.why
    deaf = park_after_reply(
        replace(PARK, stands=(replace(HERE, heard_ratio=0.01),)), GLIDING, CLOCK
    )
    assert "on next to none of the way left" in deaf.number


def test_down_the_car_goes_there() -> None:
    told = park_after_reply(replace(PARK, field=""), AFTER["down"], CLOCK)
    assert told.answer == "It should be down: go there, about 26 min by road."
    assert told.number == "46.500 S 108.000 E."
