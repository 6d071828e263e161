"""Phases: the stand with most in hand at the weakest moment of each part of the flight."""

from dataclasses import replace

from farglide.outlook.links import HeardPoint, HeardStand
from farglide.plan.links.stands import best_stands

POINT = HeardPoint(
    after_launch_s=0.0, amsl_m=0.0, azimuth_deg=0.0, elevation_deg=0.0, range_m=1.0,
    slew_degps=0.0, sun_azimuth_deg=None, p10=0.0, p50=0.0, p90=0.0, grade=0,
)  # fmt: skip
MINUTES = (0.0, 1.0, 10.0, 60.0, 74.0, 75.0, 80.0, 94.0)
RELEASE_S = 74.0 * 60.0


def stand(name: str, *margins_db: float) -> HeardStand:
    points = tuple(
        replace(POINT, after_launch_s=60.0 * minute, p50=db)
        for minute, db in zip(MINUTES, margins_db, strict=True)
    )
    return HeardStand(name=name, margin_db=points, silent=(), lost_agl_m=(), overhead=())


# behind the ridge for the first minutes, best up high, and blind to the field
HILL = stand("hill", -60.0, -40.0, 12.0, 6.0, 5.0, 8.0, 9.0, -20.0)
HOME = stand("home", 60.0, 50.0, 20.0, 3.0, 2.0, 4.0, 9.5, 17.0)


def test_each_phase_has_its_stand() -> None:
    found = best_stands([HOME, HILL], RELEASE_S)
    assert [(one.phase, one.stand, one.margin_db) for one in found] == [
        ("climb", "hill", 6.0),  # its weakest, from two minutes up, against 3 from home
        ("release", "hill", 5.0),
        ("way home", "hill", 8.0),
        ("arrival", "home", 17.0),
    ]


def test_without_a_way_home_only_the_climb_is_told() -> None:
    cut = [replace(one, margin_db=one.margin_db[:5]) for one in (HOME, HILL)]
    assert [one.phase for one in best_stands(cut, RELEASE_S)] == ["climb"]
    assert best_stands([], RELEASE_S) == ()
