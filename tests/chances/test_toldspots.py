"""Spots looked at closely: the stated launch is the plan's own, and a place tells what is known."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.spots import Asking, asking_of, spot_at, spots_at
from farglide.chances.toldspots import Named, told_spot
from farglide.chances.trial import STEP_M
from farglide.chances.window import window_of
from farglide.earth.state import place_of
from farglide.outlook.launch import OWNER_REFUSED, TOO_FAR, ToldSpot
from farglide.sortie.launch_place import LaunchPlace


@pytest.fixture(scope="module")
def asking(heard_demo: Ensemble) -> Asking:
    return asking_of(heard_demo)


def at(asking: Asking, named: Named, up_m: float = 0.0) -> ToldSpot:
    spot = spots_at(asking.ensemble, asking.axis_rad, np.array([up_m]), np.zeros(1))
    return told_spot(asking, named, spot)


def test_the_stated_launch_has_the_chances_of_the_flight(
    heard_demo: Ensemble, asking: Asking
) -> None:
    launch = heard_demo.sortie.launch
    spot = spot_at(heard_demo, asking.axis_rad, place_of(launch, 0.0))
    told = told_spot(asking, Named("launch", launch.name), spot)
    chances = chances_of_heights(heard_demo, STEP_M)
    for f, one in enumerate(told.fields):
        window = window_of(heard_demo, chances, f)
        assert one.field == heard_demo.sortie.fields[f].name
        assert one.chance_ratio == pytest.approx(window.chance_ratio, abs=0.005)
        assert one.release_by_after_launch_s == pytest.approx(window.release_by_s, abs=60.0)
    assert (told.drive_s, told.drive_guessed, told.barred) == (0.0, False, "")
    assert told.from_home_m < 1.0
    assert told.any_field_ratio == max(one.chance_ratio for one in told.fields)
    assert told.home_ratio == told.fields[0].chance_ratio


def test_a_spot_names_the_stand_that_serves_it(asking: Asking) -> None:
    told = at(asking, Named("free", "best spot"), 20e3)
    assert told.stand in {one.name for one in asking.ensemble.sortie.stands}
    assert told.stand_drive_s is not None
    assert told.stand_ready_after_launch_s == pytest.approx(told.stand_drive_s + 240.0)
    assert told.links_ratio is not None
    assert 0.5 < told.links_ratio <= 1.0
    assert told.drive_s == pytest.approx(20.0 * 1.35 / 50.0 * 3600.0, rel=1e-3)
    assert told.drive_guessed
    assert told.from_home_deg == pytest.approx((np.degrees(asking.axis_rad) + 180.0) % 360.0)
    far = at(asking, Named("free", "best spot"), 90e3)
    assert (far.stand, far.stand_drive_s, far.links_ratio, far.home_ratio) == ("", None, 0.0, 0.0)


def test_a_second_crew_needs_no_drive(asking: Asking) -> None:
    ensemble = asking.ensemble
    stands = tuple(replace(one, crew="second crew") for one in ensemble.sortie.stands)
    two = replace(
        asking, ensemble=replace(ensemble, sortie=replace(ensemble.sortie, stands=stands))
    )
    told = at(two, Named("free", "best spot"), 40e3)
    assert (told.stand_drive_s, told.stand_ready_after_launch_s) == (None, 0.0)


def test_without_links_no_stand_is_named(asking: Asking) -> None:
    deaf = replace(asking, ensemble=replace(asking.ensemble, listening=None))
    told = at(deaf, Named("free", "best spot"), 40e3)
    assert (told.stand, told.links_ratio) == ("", None)


def test_a_place_tells_what_is_known_and_what_bars_it(asking: Asking) -> None:
    place = LaunchPlace(
        name="Fern Moor", lat_deg=-46.4, lon_deg=107.8, amsl_m=260.0, drive_s=3000.0,
        owner="agreed", surface="heather", trees_upwind="pines", obstacles="a wire",
    )  # fmt: skip
    told = at(asking, Named("place", "Fern Moor", place), 20e3)
    assert (told.name, told.kind, told.drive_s, told.drive_guessed) == (
        "Fern Moor", "place", 3000.0, False,
    )  # fmt: skip
    known = (told.owner, told.surface, told.trees_upwind, told.obstacles)
    assert known == ("agreed", "heather", "pines", "a wire")
    refused = replace(place, owner="refused")
    assert at(asking, Named("place", "Fern Moor", refused), 20e3).barred == OWNER_REFUSED
    sortie = asking.ensemble.sortie
    near = replace(sortie, launch=replace(sortie.launch, may_drive_s=2000.0))
    limited = replace(asking, ensemble=replace(asking.ensemble, sortie=near))
    assert at(limited, Named("place", "Fern Moor", place), 20e3).barred == TOO_FAR
    assert at(limited, Named("free", "best spot"), 10e3).barred == ""
