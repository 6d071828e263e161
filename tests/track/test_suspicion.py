"""Suspicions of one fix: the gravest first, one cause told once, a sound flight without any."""

from farglide.track.received import Oddity, Received, Suspicion
from farglide.track.suspicion import suspicions_of

from .received_by_hand import AWAY, received, source

SECOND = source("second")
CAR = source("car receiver", of="car")


def odd(found: tuple[Suspicion, ...]) -> list[Oddity]:
    return [one.oddity for one in found]


def test_a_sound_climb_beside_a_second_tracker_and_a_car_has_none() -> None:
    before: Received | None = None
    for n in range(600):
        now = received(float(n), 20.0 * n, 500.0 + 5.0 * n, speed_mps=20.0)
        second = received(float(n), 20.0 * n + 15.0, 505.0 + 5.0 * n, SECOND, speed_mps=20.0)
        car = received(float(n), 9000.0 - 15.0 * n, 480.0, CAR, speed_mps=15.0)
        assert suspicions_of(now, before, [second, car], AWAY) == ()
        before = now


def test_a_place_of_another_flight_explains_all_but_its_clock() -> None:
    now = received(1.0, 700e3, 25_000.0, t_s=received(1.0).utc_s + 3600.0)
    found = suspicions_of(now, received(), [received(feed=SECOND)], AWAY)
    assert odd(found) == [Oddity.ELSEWHERE, Oddity.CLOCK]


def test_a_height_of_another_kind_explains_its_jump() -> None:
    now = received(1.0, height_m=10_047.0)
    assert odd(suspicions_of(now, received(), [], AWAY)) == [Oddity.HEIGHT_KIND]


def test_a_car_taken_for_the_glider_explains_the_disagreement() -> None:
    now = received(1.0, 5000.0, 520.0, speed_mps=20.0)
    second, car = received(feed=SECOND), received(1.0, 5010.0, 520.0, CAR)
    assert odd(suspicions_of(now, received(0.0, 4980.0, 520.0), [second, car], AWAY)) == [
        Oddity.CAR
    ]


def test_two_trackers_that_disagree_are_both_told_of() -> None:
    one, other = received(north_m=4000.0), received(feed=SECOND)
    assert odd(suspicions_of(one, None, [other], AWAY)) == [Oddity.DISAGREE]
    assert odd(suspicions_of(other, None, [one], AWAY)) == [Oddity.DISAGREE]


def test_a_jump_and_a_limit_are_both_told() -> None:
    feed = source(stops_above_m=12_000.0)
    now = received(1.0, height_m=12_500.0, feed=feed)
    assert odd(suspicions_of(now, received(feed=feed), [], AWAY)) == [Oddity.LIMIT, Oddity.TOO_FAST]


def test_every_suspicion_says_what_it_would_change_and_what_to_do() -> None:
    cases = [
        (received(1.0, 700e3), None), (received(1.0, 9000.0), received()),
        (received(1.0, height_m=10_047.0), received()), (received(t_s=1.8e9), None),
    ]  # fmt: skip
    for now, before in cases:
        for one in suspicions_of(now, before, [], AWAY):
            assert one.changes.startswith("Taken as it is, ")
            assert one.remedy.endswith(".")
            assert one.feed == "tracker"
