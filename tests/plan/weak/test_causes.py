"""What the picture should be, phase by phase, and what a worse grade leaves missing."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import (
    CarOutlook,
    HeardLink,
    HeardPoint,
    HeardStand,
    LinksOutlook,
)
from farglide.plan.weak.causes import expected_pictures, manned_stand
from farglide.radio.picture import grade_of


def point(minutes: float, margin_db: float, elevation_deg: float = 30.0) -> HeardPoint:
    return HeardPoint(
        after_launch_s=60.0 * minutes,
        amsl_m=10_000.0,
        azimuth_deg=120.0,
        elevation_deg=elevation_deg,
        range_m=20e3,
        slew_degps=0.01,
        sun_azimuth_deg=None,
        p10=margin_db - 3.0,
        p50=margin_db,
        p90=margin_db + 3.0,
        grade=grade_of(margin_db, False),
    )


POINTS = (
    point(0.0, -30.0), point(40.0, 9.0), point(42.0, 8.0, 71.0), point(44.0, 7.0, 74.0),
    point(46.0, 6.8, 72.0), point(48.0, 6.7), point(75.0, 5.6), point(95.0, 12.0),
)  # fmt: skip
STAND = HeardStand(name="hill", margin_db=POINTS, silent=(), lost_agl_m=(), overhead=())
CAR = CarOutlook(
    stand="hill",
    lat_deg=46.0,
    lon_deg=10.0,
    east_m=0.0,
    north_m=0.0,
    nose_deg=None,
    holds_ratio=(),
    drive_guessed=False,
    drive_s=2000.0,
    set_up_s=240.0,
    ready_after_launch_s=2400.0,
    set_off_after_launch_s=None,
    lost_agl_m=None,
    moves=(),
    road=(),
)
LINK = HeardLink(
    name="picture",
    purpose="picture",
    eirp_dbm=31.0,
    threshold_dbm=-91.0,
    spread_db=2.0,
    reach_m=80e3,
    half_reach_m=40e3,
    stands=(STAND,),
)
COMMAND = replace(LINK, name="command", purpose="command")
FOUND = LinksOutlook(links=(LINK, COMMAND), held=(), car=CAR, ground="")


def test_phases_begin_when_the_stand_is_manned(demo_flight: FlightFile) -> None:
    (found,) = expected_pictures(demo_flight.sortie, FOUND, 75.0 * 60.0)
    by_phase = {phase.phase: phase for phase in found.phases}
    assert by_phase["weakest"].margin_db == 5.6  # and not -30 at the launch
    assert by_phase["release"].after_launch_s == 4500.0
    assert by_phase["end"].margin_db == 12.0
    for phase in found.phases:
        assert phase.grade == grade_of(phase.margin_db, False)
    assert (found.link, found.stand, found.highest_deg) == ("picture", "hill", 74.0)


def test_a_worse_grade_leaves_so_many_decibels_missing(demo_flight: FlightFile) -> None:
    (found,) = expected_pictures(demo_flight.sortie, FOUND, 75.0 * 60.0)
    released = found.phases[1]
    assert released.grade == 3
    assert [seen.grade for seen in released.worse] == [2, 1, 0]
    # 3 dB of S/N for each below the threshold: grade 2 from -1.53, grade 1 from -2.3 dB
    two, one, none = released.worse
    assert two.least_db == pytest.approx(5.6 + 0.033, abs=0.01)
    assert two.most_db == pytest.approx(5.6 + 1.533, abs=0.01)
    assert one.least_db == pytest.approx(two.most_db)
    assert one.most_db == pytest.approx(none.least_db)
    assert none.most_db is None
    for seen in released.worse:
        middle_db = seen.least_db + 0.1
        assert grade_of(released.margin_db - middle_db, False) == seen.grade


def test_speed_of_change_and_time_overhead(demo_flight: FlightFile) -> None:
    (found,) = expected_pictures(demo_flight.sortie, FOUND, 75.0 * 60.0)
    # one decibel in two minutes; the way home is not counted
    assert found.fastest_dbps == pytest.approx(1.0 / 120.0)
    assert found.overhead == ((42.0 * 60.0, 46.0 * 60.0),)


def test_without_a_car_the_best_stand_is_told_throughout() -> None:
    better = replace(STAND, name="ridge", margin_db=tuple(point(m, 15.0) for m in (0.0, 75.0)))
    link = replace(LINK, stands=(STAND, better))
    assert manned_stand(link, replace(FOUND, car=None)) is better
    late = replace(FOUND, car=replace(CAR, ready_after_launch_s=1e6))
    assert manned_stand(LINK, late).margin_db == POINTS[-1:]


def test_without_a_picture_nothing_is_expected(demo_flight: FlightFile) -> None:
    sortie = replace(demo_flight.sortie, links=demo_flight.sortie.links[1:])
    assert expected_pictures(sortie, replace(FOUND, links=(COMMAND,)), 4500.0) == ()
    bare = replace(FOUND, links=(replace(LINK, stands=()), COMMAND))
    assert expected_pictures(demo_flight.sortie, bare, 4500.0) == ()
