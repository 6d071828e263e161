"""From where to launch in words: named where it changes the day, and where nothing helps."""

from dataclasses import replace
from types import ModuleType

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.launch import TOO_FAR, LaunchArea, ToldSpot
from farglide.plan.launching import launch_headline, spot_gain, spot_hint, spot_words
from farglide.sortie.spec import Sortie


@pytest.fixture
def area(samples: ModuleType) -> LaunchArea:
    made = samples.launch_area()
    assert isinstance(made, LaunchArea)
    return made


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


def at(spot: ToldSpot, home_ratio: float) -> ToldSpot:
    """Return a spot with another chance of home."""
    home = replace(spot.fields[0], chance_ratio=home_ratio)
    return replace(spot, fields=(home, *spot.fields[1:]))


def with_best(area: LaunchArea, stated: float, free: float) -> LaunchArea:
    assert area.free is not None
    best = at(area.free, free)
    return replace(area, stated=at(area.stated, stated), free=best, advised=best)


def test_another_launch_is_named_where_it_changes_the_day(sortie: Sortie, area: LaunchArea) -> None:
    assert launch_headline(sortie, area) == (
        "Launch 30 km upwind of home instead, near 46.33° S 107.70° E (49 min drive): "
        "the chance of home is then 19 in 20."
    )
    assert launch_headline(sortie, None) == ""


def test_what_hardly_moves_the_chance_is_not_named(sortie: Sortie, area: LaunchArea) -> None:
    assert launch_headline(sortie, with_best(area, 0.92, 0.945)) == ""  # under 3 points
    assert launch_headline(sortie, with_best(area, 0.86, 0.94)) == ""  # "9 in 10" both
    assert launch_headline(sortie, replace(area, advised=area.stated)) == ""


def test_a_day_on_which_no_spot_works_says_so(sortie: Sortie, area: LaunchArea) -> None:
    poor = with_best(area, 0.1, 0.4)
    assert launch_headline(sortie, poor) == (
        "No launch within 90 km gives home 5 in 10 or more, released above 20 km: the best is "
        "4 in 10, near 46.33° S 107.70° E."
    )
    assert area.free is not None
    far = replace(at(area.free, 0.95), from_home_m=70e3, drive_s=6800.0)
    limited = replace(poor, may_drive_s=3600.0, unlimited=far)
    assert launch_headline(sortie, limited) == (
        "No launch within 1 h of driving gives home 5 in 10 or more, released above 20 km: the "
        "best is 4 in 10, near 46.33° S 107.70° E. Farther off, near 46.33° S 107.70° E "
        "(1 h 53 min drive): 19 in 20."
    )
    here = with_best(replace(area, from_amsl_m=0.0), 0.4, 0.3)
    assert launch_headline(sortie, here) == (
        "No launch within 90 km gives home 5 in 10 or more: the best is 4 in 10, from the stated "
        "launch."
    )


def test_barriers_that_bar_all_are_told(sortie: Sortie, area: LaunchArea) -> None:
    shut = replace(area, stated=at(area.stated, 0.1), free=None, advised=at(area.stated, 0.1))
    told = launch_headline(sortie, shut)
    assert told == "Barriers bar every launch spot within 90 km."


def test_the_best_prepared_place_is_the_advice_and_the_free_spot_beside(
    sortie: Sortie, area: LaunchArea
) -> None:
    assert area.free is not None
    place = replace(at(area.free, 0.8), kind="place", name="Fern Moor")
    prepared = replace(area, stated=at(area.stated, 0.6), places=(place,), advised=place)
    assert launch_headline(sortie, prepared) == (
        "Launch from Fern Moor instead (49 min drive): the chance of home is then 8 in 10. No "
        "place is prepared at the best spot, near 46.33° S 107.70° E (49 min drive): the chance of "
        "home is 19 in 20 there."
    )


def test_without_a_prepared_place_that_helps_the_best_spot_is_told(
    sortie: Sortie, area: LaunchArea
) -> None:
    assert area.free is not None
    place = replace(at(area.free, 0.2), kind="place", name="Fern Moor")
    stated = at(area.stated, 0.1)
    useless = replace(area, stated=stated, places=(place,), advised=place, free=at(area.free, 0.96))
    assert launch_headline(sortie, useless) == (
        "No prepared place gives home 5 in 10 or more, released above 20 km. The best spot, near "
        "46.33° S 107.70° E (49 min drive), does: 19 in 20."
    )
    poor = replace(useless, free=at(area.free, 0.15))
    assert launch_headline(sortie, poor) == (
        "No launch within 90 km gives home 5 in 10 or more, released above 20 km: the best is "
        "2 in 10, from Fern Moor."
    )


def test_a_drive_too_short_for_any_other_spot_is_no_barrier(
    sortie: Sortie, area: LaunchArea
) -> None:
    spots = tuple(replace(one, barred=TOO_FAR) for one in area.spots)
    poor = at(area.stated, 0.1)
    for drive_s, words in ((0.0, "1 min"), (120.0, "2 min")):
        near = replace(area, stated=poor, advised=poor, free=None, spots=spots, may_drive_s=drive_s)
        told = f"No other spot to launch from lies within {words} of driving."
        assert launch_headline(sortie, near) == told.replace("1 min", "60 s")


def test_a_car_that_is_at_no_stand_in_time_is_told_at_once(
    sortie: Sortie, area: LaunchArea
) -> None:
    late = replace(with_best(area, 0.1, 0.1), n_unmanned=10)
    assert launch_headline(sortie, late).endswith(
        "From 10 of 15 spots the car reaches no stand in time: a second crew, waiting at a stand, "
        "would change that."
    )


def test_a_launch_for_any_field_is_told_where_the_wish_leaves_it_open(
    sortie: Sortie, area: LaunchArea
) -> None:
    assert area.free is not None
    place = replace(at(area.free, 0.3), kind="place", name="Fern Moor", any_field_ratio=0.93)
    poor = replace(at(area.stated, 0.6), any_field_ratio=0.7)
    free = replace(area.free, any_field_ratio=0.5)
    many = replace(area, stated=poor, places=(place,), advised=poor, free=at(free, 0.6))
    told = "launch from Fern Moor (49 min drive): 9 in 10 instead of 7 in 10."
    assert launch_headline(sortie, many) == f"To reach any field at all, {told}"
    # where the headline names a release from another height, the height of this chance is told
    low = launch_headline(sortie, many, released_low=True)
    assert low.endswith("9 in 10 instead of 7 in 10, released above 20 km.")
    shut = replace(many, stated=at(poor, 0.1), places=(at(place, 0.2),), free=at(free, 0.2))
    shut = replace(shut, advised=shut.stated)
    assert launch_headline(sortie, shut).endswith(" instead of 7 in 10, released above 20 km.")
    homeward = replace(sortie, wish=replace(sortie.wish, bring_to="home"))
    assert launch_headline(homeward, many) == ""


def test_beside_a_lower_release_the_height_of_the_launch_s_chance_is_told(
    sortie: Sortie, area: LaunchArea
) -> None:
    assert launch_headline(sortie, area, released_low=True).endswith(
        "(49 min drive): the chance of home is then 19 in 20, released above 20 km."
    )


def test_a_launch_too_far_off_is_told(sortie: Sortie, area: LaunchArea) -> None:
    far = replace(area, stated=replace(area.stated, barred=TOO_FAR), advised=area.stated)
    assert launch_headline(sortie, far) == "The stated launch is too far to drive."
    assert area.free is not None
    place = replace(at(area.free, 0.95), kind="place", name="Fern Moor")
    instead = replace(far, stated=at(far.stated, 0.95), places=(place,), advised=place)
    assert launch_headline(sortie, instead) == (
        "The stated launch is too far to drive. Launch from Fern Moor instead (49 min drive): the "
        "chance of home is then 19 in 20."
    )


def test_spots_are_told_by_the_drift_where_they_lie_along_it(area: LaunchArea) -> None:
    assert area.free is not None
    spot = area.free
    assert spot_words(spot) == "launch 30 km upwind of home"
    assert spot_words(replace(spot, up_drift_m=-30e3)) == "launch 30 km downwind of home"
    assert spot_words(replace(spot, across_m=20e3)) == "launch 30 km north-west of home"
    assert spot_words(replace(spot, from_home_m=300.0)) == "launch at home"
    assert spot_words(replace(spot, kind="place", name="Fern Moor")) == "launch from Fern Moor"


def test_the_gain_is_told_for_home(area: LaunchArea) -> None:
    (gain,) = spot_gain(area)
    assert (gain.what, gain.chance_ratio, gain.shut_s, gain.release_by_shift_s) == (
        "launch 30 km upwind of home", 0.97, 420.0, 0.0,
    )  # fmt: skip
    assert spot_gain(replace(area, advised=area.stated)) == ()


def test_a_launch_that_opens_home_is_a_hint(area: LaunchArea) -> None:
    assert spot_hint(area, 0.5) == ("launch 30 km upwind of home",)
    assert spot_hint(area, 0.98) == spot_hint(None, 0.5) == ()
    assert spot_hint(replace(area, advised=area.stated), 0.5) == ()
