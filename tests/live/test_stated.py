"""Typed lines as a ride has them, for one question."""

from dataclasses import replace

import pytest

from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.live.ride.phase import Phase, phase_of
from farglide.live.ride.standing import car_place
from farglide.live.stated import CAR, Line, ride_of, with_car, with_car_feed, with_typed
from farglide.sortie.spec import Sortie, StandSpec
from farglide.track.reports import Fix
from farglide.track.typed.known import LastPlace


def lines(sortie: Sortie, *texts: tuple[float, str]) -> list[Line]:
    return [Line(t_s=sortie.launch.t_s + t_s, text=text) for t_s, text in texts]


def test_lines_count_as_in_a_ride_by_their_times(sortie: Sortie) -> None:
    told = lines(sortie, (1200.0, "46.55 S 108.15 E 6500"), (0.0, "launched"),
                 (600.0, "46.53 S 108.1 E 3400"), (1260.0, "refused tansy"))  # fmt: skip
    ride = with_typed(ride_of((), sortie.launch), told, sortie)
    assert [one.height_m for one in ride.fixes()] == [3400.0, 6500.0]
    assert ride.refused == ("Tansy Lea",)
    assert phase_of(ride, sortie.launch, sortie.launch.t_s + 1300.0) is Phase.CLIMB


def test_an_undo_leaves_what_stood_before(sortie: Sortie) -> None:
    told = lines(sortie, (0.0, "refused tansy"), (10.0, "u"))
    assert with_typed(ride_of((), sortie.launch), told, sortie) == ride_of((), sortie.launch)


def test_what_is_typed_stands_beside_what_was_heard(sortie: Sortie) -> None:
    launch = sortie.launch
    heard = Fix(feed="a", lat_deg=-46.5, lon_deg=108.0, t_s=launch.t_s, height_m=240.0)
    ride = with_typed(
        ride_of([heard], launch), lines(sortie, (600.0, "46.53 S 108.1 E 3400")), sortie
    )
    assert [one.height_m for one in ride.fixes()] == [240.0, 3400.0]


def test_what_contradicts_is_refused_with_what_was_meant(sortie: Sortie) -> None:
    told = lines(sortie, (600.0, "46.53 S 108.1 E 3400"), (660.0, "46.53 N 108.1 E 3700"))
    with pytest.raises(InputError, match=r"allowed: what fits the rest.*Did you mean"):
        with_typed(ride_of((), sortie.launch), told, sortie)
    with pytest.raises(InputError, match="--typed is 'hello'; allowed: an entry of a ride"):
        with_typed(ride_of((), sortie.launch), lines(sortie, (0.0, "hello")), sortie)
    with pytest.raises(InputError, match=r"allowed: an entry of a ride.*has 10\d\d signs"):
        with_typed(ride_of((), sortie.launch), lines(sortie, (0.0, f"hello{' ' * 1000}a")), sortie)


def test_a_car_that_was_told_of_is_where_its_feed_would_have_it(sortie: Sortie) -> None:
    bare = with_car_feed(())
    assert [(one.name, one.of) for one in bare] == [(CAR, "car")]
    assert with_car_feed(bare) == bare
    place = Place(lat_deg=-46.6, lon_deg=108.2, amsl_m=0.0)
    ride = with_car(ride_of((), sortie.launch), bare, place, sortie.launch.t_s + 60.0)
    told = ride.feed(CAR).believed
    assert told is not None
    assert car_place(told.fix) == place
    assert told.t_s == sortie.launch.t_s + 60.0


def test_a_direction_is_held_against_the_plan_where_no_fix_tells(sortie: Sortie) -> None:
    stand = StandSpec(name="Stile Gap", lat_deg=-46.6, lon_deg=108.2, amsl_m=300.0, mast_m=2.0)
    sortie = replace(sortie, stands=(stand,))
    there = LastPlace(lat_deg=-46.9, lon_deg=108.6, amsl_m=20e3, t_s=sortie.launch.t_s + 3000.0)

    def expect(t_s: float, last: LastPlace | None) -> LastPlace:
        return there

    right, wrong = ((3000.0, f"a stile {deg}") for deg in (115, 295))
    ride = with_typed(ride_of((), sortie.launch), lines(sortie, right), sortie, expect)
    assert len(ride.entries) == 1
    with pytest.raises(InputError, match=r"it should stand near 1\d\d°.*give it twice"):
        with_typed(ride_of((), sortie.launch), lines(sortie, wrong), sortie, expect)
    ride = with_typed(ride_of((), sortie.launch), lines(sortie, wrong, wrong), sortie, expect)
    assert [one.words for one in ride.entries] == ["antenna to 295° from Stile Gap"]
    later = (3060.0, "a stile 115")
    ride = with_typed(ride_of((), sortie.launch), lines(sortie, right, later), sortie, expect)
    assert len(ride.entries) == 2
