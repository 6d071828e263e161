"""Needs: how old a thing may be depends on what it is needed for."""

import pytest

from farglide.live.ride.needs import needs_of, picture_t_s, place_within_s
from farglide.live.ride.state import FeedNow, Ride
from farglide.live.ride.task import Entered
from farglide.outlook.after import Stage
from farglide.outlook.freshness import Freshness
from farglide.track.typed.entries import Entry, Grade, Mark, MarkKind, Overlay


@pytest.mark.parametrize(
    ("stage", "agl_m", "within_s"),
    [
        (Stage.CARRIED, 100.0, 15.0),
        (Stage.GLIDING, 9000.0, 15.0),
        (Stage.GLIDING, 900.0, 5.0),
        (Stage.UNSTEERED, 900.0, 5.0),
        (Stage.TIED_ON, 20_000.0, 5.0),
        (Stage.DROPPED, 20_000.0, 5.0),
    ],
)
def test_a_fall_and_a_landing_need_newer_fixes(stage: Stage, agl_m: float, within_s: float) -> None:
    assert place_within_s(stage, agl_m) == within_s


def typed(*entries: tuple[float, Entry]) -> Ride:
    return Ride(entries=tuple(
        Entered(number=k, t_s=t_s, entry=entry) for k, (t_s, entry) in enumerate(entries)
    ))  # fmt: skip


LOST, BACK = Mark(kind=MarkKind.LOST), Mark(kind=MarkKind.BACK)


@pytest.mark.parametrize(
    ("ride", "seen"),
    [
        (typed(), (None, False)),
        (typed((10.0, Grade(grade=4))), (10.0, False)),
        (typed((10.0, Grade(grade=4)), (20.0, Grade(grade=0))), (10.0, True)),
        (typed((20.0, Grade(grade=0))), (20.0, True)),
        (typed((10.0, Overlay(amsl_m=900.0)), (30.0, LOST)), (30.0, True)),
        (typed((30.0, LOST), (40.0, BACK)), (40.0, False)),
    ],
)
def test_when_the_picture_was_seen_last(ride: Ride, seen: tuple[float | None, bool]) -> None:
    assert picture_t_s(ride) == seen


def test_ages_by_what_they_are_needed_for() -> None:
    ride = typed((100.0, Grade(grade=4))).with_feed("car", FeedNow(believed_s=50.0))
    picture, car = needs_of(ride, ("car", "other"), 90.0, 140.0)
    assert (picture.what, picture.age_s, picture.data) == ("picture", 40.0, Freshness.AGEING)
    assert (car.what, car.age_s, car.data) == ("car", 40.0, Freshness.FRESH)
    lost = needs_of(typed((100.0, LOST)), (), 90.0, 101.0)
    assert [one.data for one in lost] == [Freshness.UNKNOWN]
    assert needs_of(typed(), ("car",), 90.0, 140.0) == ()
