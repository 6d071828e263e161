"""Asking a loose flight: what it is made of, and when it is none."""

from tests.live.loose import RELEASE_S, Told

from farglide.live.loosened.flight import LooseFlight
from farglide.live.ride.state import Ride
from farglide.live.stated import ride_of
from farglide.outlook.after import Stage
from farglide.track.typed.entries import MarkKind

from .conftest import Asks


def test_each_stage_is_what_its_marks_say(
    gliding: LooseFlight, tied: LooseFlight, unseen: LooseFlight
) -> None:
    assert [one.advice.stage for one in (gliding, tied, unseen)] == [
        Stage.GLIDING, Stage.TIED_ON, Stage.UNSTEERED,
    ]  # fmt: skip


def test_a_carried_flight_and_one_never_seen_are_none(asks: Asks, home: Told) -> None:
    climb = ride_of(home.between(10.0, 1800.0, 10.0), asks.sortie.launch)
    assert asks.asked(climb, 1800.0) is None
    assert asks.asked(Ride(), 1800.0) is None


def test_a_car_that_was_told_of_is_the_one_that_hears(asks: Asks, home: Told) -> None:
    there = asks(home, RELEASE_S + 300.0, (RELEASE_S, MarkKind.RELEASED), car="Stile Gap")
    assert there.after.aim is not None
    assert there.after.aim.stand == "Stile Gap"
    assert {one.stand for one in there.after.links} == {"Stile Gap"}
    car = next(one for one in there.advice.needs if one.what == "car")
    assert (car.age_s, car.data) == (0.0, "fresh")
