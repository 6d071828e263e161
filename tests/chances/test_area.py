"""The area to launch from: its grid, the best of it, limits, barriers and prepared places."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.chances.area import ALIKE_RATIO, LEFT_M, PLAINLY_RATIO, UP_M, launch_area
from farglide.chances.ensemble import Ensemble, with_glider
from farglide.chances.spots import asked, asking_of, spots_at
from farglide.outlook.launch import TOO_FAR, LaunchArea
from farglide.sortie.launch_place import LaunchPlace

N_EVEN = len(UP_M) * len(LEFT_M)


@pytest.fixture(scope="module")
def area(heard_demo: Ensemble) -> LaunchArea:
    found = launch_area(heard_demo)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def worse(heard_demo: Ensemble) -> Ensemble:
    """Return the demo with a glider that glides a quarter worse: home is no good place to launch.

    With its own glider home from home is within 3 points of the best, and no other spot is advised.
    """
    glider = heard_demo.sortie.glider
    known = replace(glider.glide_factor, value=0.75 * glider.glide_factor.value)
    sortie = replace(heard_demo.sortie, glider=replace(glider, glide_factor=known))
    return with_glider(heard_demo, sortie, heard_demo.grain)


@pytest.fixture(scope="module")
def worse_area(worse: Ensemble) -> LaunchArea:
    found = launch_area(worse)
    assert found is not None
    return found


def changed(ensemble: Ensemble, **parts: Any) -> LaunchArea:
    """Return the area of the flight with other parts of its sortie."""
    found = launch_area(replace(ensemble, sortie=replace(ensemble.sortie, **parts)))
    assert found is not None
    return found


def test_spots_lie_on_an_even_grid_and_finer_round_the_best(area: LaunchArea) -> None:
    assert (len(UP_M), len(LEFT_M)) == (41, 17)
    even = [(one.up_drift_m, one.across_m) for one in area.spots[:N_EVEN]]
    assert even == [(up, left) for up in area.up_drift_m for left in area.across_m]
    assert (even[0], even[-1]) == ((-40e3, -80e3), (200e3, 80e3))
    finer = area.spots[N_EVEN:]
    assert finer
    tops = [one for one in area.spots if one.home_ratio >= 0.95]
    best = min(tops, key=lambda one: one.drive_s)
    assert all(abs(one.up_drift_m - best.up_drift_m) <= 9e3 for one in finer)
    assert all(abs(one.across_m - best.across_m) <= 15e3 for one in finer)


def test_spots_between_have_the_chance_they_are_asked_for(
    heard_demo: Ensemble, area: LaunchArea
) -> None:
    """Where the four round it agree within 2 points, the chance between is taken for even."""
    asking, rng = asking_of(heard_demo), np.random.default_rng(4)
    hopeful = [one for one in area.spots[:N_EVEN] if one.any_field_ratio > 0.02]
    some = [hopeful[k] for k in rng.choice(len(hopeful), 40, replace=False)]
    spots = spots_at(
        heard_demo,
        asking.axis_rad,
        np.array([one.up_drift_m for one in some]),
        np.array([one.across_m for one in some]),
    )
    found = asked(asking, spots)
    assert [one.home_ratio for one in some] == pytest.approx(found.fields[:, 0], abs=0.02)
    assert [one.any_field_ratio for one in some] == pytest.approx(
        found.fields.max(axis=1), abs=0.02
    )
    assert [one.home_any_height_ratio for one in some] == pytest.approx(found.low, abs=0.02)
    assert [one.lat_deg for one in some] == pytest.approx(spots.lat_deg)
    told = np.array([one.field_ratios for one in some])
    assert told == pytest.approx(found.fields, abs=0.02)
    assert told.max(axis=1).tolist() == [one.any_field_ratio for one in some]


def test_the_best_spot_is_the_nearest_of_the_best(worse_area: LaunchArea) -> None:
    area = worse_area
    assert area.free is not None
    top = max(one.home_ratio for one in area.spots if not one.barred)
    assert area.free.home_ratio >= top - ALIKE_RATIO - 0.02
    nearer = [one for one in area.spots if one.drive_s < area.free.drive_s - 1.0 and not one.barred]
    assert all(one.home_ratio < top - ALIKE_RATIO for one in nearer)
    assert area.advised is area.free
    assert area.free.home_ratio > area.stated.home_ratio + PLAINLY_RATIO
    assert area.free.up_drift_m > 0.0


def test_a_drive_that_is_too_long_is_not_advised(worse: Ensemble, worse_area: LaunchArea) -> None:
    launch = replace(worse.sortie.launch, may_drive_s=250.0)
    near = changed(worse, launch=launch)
    assert near.free is not None
    assert near.free.drive_s <= 250.0
    for one in near.spots:
        assert (one.barred == TOO_FAR) == (one.drive_s > 250.0 and one.barred != "Gollan Wood")
    assert near.drive_radius_m == pytest.approx(250.0 * 50.0 / 3.6 / 1.35)
    assert near.unlimited is not None
    assert worse_area.free is not None
    assert near.unlimited.home_ratio == pytest.approx(worse_area.free.home_ratio)
    assert (worse_area.unlimited, worse_area.drive_radius_m) == (None, None)


def test_a_stated_launch_stays_where_no_other_is_plainly_better(area: LaunchArea) -> None:
    assert area.free is not None
    assert area.free.home_ratio < area.stated.home_ratio + PLAINLY_RATIO
    assert area.advised is area.stated


def test_barriers_bar_what_lies_in_them(heard_demo: Ensemble, area: LaunchArea) -> None:
    inside = [one for one in area.spots if one.barred]
    assert {one.barred for one in inside} == {"Gollan Wood"}
    points = ((-44.0, 104.0), (-44.0, 112.0), (-49.0, 112.0), (-49.0, 104.0))
    everywhere = Barrier(name="the sea", kind="water", outline=Outline(points=points))
    flooded = changed(heard_demo, barriers=(everywhere,))
    assert flooded.free is None
    assert flooded.advised is flooded.stated
    assert {one.barred for one in flooded.spots} == {"the sea"}
    assert len(flooded.spots) == N_EVEN


def test_the_best_prepared_place_is_the_advice(worse: Ensemble, worse_area: LaunchArea) -> None:
    best = worse_area.free
    assert best is not None
    good = LaunchPlace(name="good", lat_deg=best.lat_deg, lon_deg=best.lon_deg, amsl_m=250.0)
    refused = replace(good, name="refused", owner="refused")
    poor = replace(good, name="poor", lat_deg=-46.9, lon_deg=108.6)
    found = changed(worse, launch_places=(refused, poor, good))
    assert [one.name for one in found.places] == ["refused", "poor", "good"]
    assert found.advised.name == "good"
    assert found.advised.home_ratio == pytest.approx(best.home_ratio, abs=1e-6)
    assert found.free is not None
    stays = changed(worse, launch_places=(refused, poor))
    assert stays.advised is stays.stated  # a better spot is free, but nobody has prepared it


def test_fields_stands_and_barriers_are_handed_on(area: LaunchArea, heard_demo: Ensemble) -> None:
    kinds = [mark.kind for mark in area.marks]
    assert kinds == ["field"] * 4 + ["stand"] * 3
    assert area.marks[0].name == heard_demo.sortie.fields[0].name
    (wood,) = area.lines
    assert wood.points == heard_demo.sortie.barriers[0].outline.points
    assert area.axis_deg == pytest.approx(130.0, abs=5.0)
    last_s = float(asking_of(heard_demo).few.until_s[-1])  # by then the last is released
    assert 5400.0 < last_s < 6000.0
    assert area.n_unmanned == sum(
        one.manned_after_launch_s is not None and one.manned_after_launch_s > last_s
        for one in area.spots
    )


def test_a_barrier_far_off_is_no_line_of_the_map(heard_demo: Ensemble) -> None:
    points = ((10.0, 20.0), (10.0, 21.0), (11.0, 21.0))
    far = Barrier(name="far", kind="water", outline=Outline(points=points))
    found = changed(heard_demo, barriers=(far, *heard_demo.sortie.barriers))
    assert [one.name for one in found.lines] == ["Gollan Wood"]


def test_without_fields_there_is_nowhere_to_launch(heard_demo: Ensemble) -> None:
    bare = replace(heard_demo.sortie, fields=())
    assert launch_area(replace(heard_demo, sortie=bare)) is None
