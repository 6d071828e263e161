"""Cell: what is told of one launch agrees with the draws and the plan of the same flight."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.earth.state import place_of
from farglide.earth.sun import dusk_t_s
from farglide.outlook.season import SeasonCell
from farglide.plan.ascent import ascent_outlook
from farglide.season.cell import cell_of
from farglide.season.flown import Asked, Wanted, asked_from, ensembles
from farglide.season.places import compared_spots
from farglide.sim.core.workers import in_one_go

from .made import GRAIN, changing, world

MADE = world()
SORTIE = MADE.flight.sortie


@pytest.fixture(scope="module")
def asked() -> Asked:
    launch = SORTIE.launch
    (one,) = ensembles(MADE, Wanted(launch.t_s, place_of(launch)), GRAIN, None, in_one_go)
    return next(asked_from(one, compared_spots(SORTIE, None, None)[:1], SORTIE))


@pytest.fixture(scope="module")
def cell(asked: Asked) -> SeasonCell:
    return cell_of(asked, 3)


def test_chances_and_release_are_those_of_the_windows(asked: Asked, cell: SeasonCell) -> None:
    assert cell.spot == 3
    assert cell.home_ratio == asked.windows[0].chance_ratio
    assert cell.any_field_ratio == max(one.chance_ratio for one in asked.windows)
    assert cell.home_any_height_ratio >= cell.home_ratio - 1e-9
    best = int(np.argmax([one.chance_ratio for one in asked.windows]))
    assert cell.release_by_after_launch_s == asked.windows[best].release_by_s


def test_the_climb_is_that_of_the_plan(asked: Asked, cell: SeasonCell) -> None:
    told = ascent_outlook(asked.ensemble)
    assert cell.burst_amsl_m == told.burst.height_amsl_m
    high = asked.ensemble.climbs.burst.amsl_m >= SORTIE.wish.wanted_amsl_m  # by own diameters
    assert cell.height_ratio == pytest.approx(high.mean(), abs=0.03)
    assert 0.0 < cell.drift_m < 1.2e3 * told.farthest_km


def test_the_light_left_counts_from_a_landing_before_the_packs_end(
    asked: Asked, cell: SeasonCell
) -> None:
    home = SORTIE.fields[0]
    dusk_s = dusk_t_s(SORTIE.launch.t_s, home.lat_deg, home.lon_deg)
    assert dusk_s is not None
    assert cell.light_left_s is not None
    down_s = dusk_s - SORTIE.launch.t_s - cell.light_left_s
    assert cell.release_by_after_launch_s is not None
    assert cell.release_by_after_launch_s < down_s
    assert down_s <= float(np.median(asked.ensemble.draws.pack_end_s)) + 1.0


def test_winds_are_those_told_low_over_the_field_when_it_lands(cell: SeasonCell) -> None:
    assert cell.ground_wind_mps == pytest.approx(3.5, abs=0.3)  # as the demo's file of winds
    assert cell.strongest_mps == pytest.approx(36.0, abs=1.0)
    made = changing(0.0, 1.0)  # 1 m/s more each hour at 10 km, less in proportion lower down
    launch = SORTIE.launch
    found = []
    for t_s in (launch.t_s, launch.t_s + 3600.0):
        (one,) = ensembles(made, Wanted(t_s, place_of(launch)), GRAIN, None, in_one_go)
        spots = compared_spots(SORTIE, None, None)[:1]
        found.append(cell_of(next(asked_from(one, spots, SORTIE)), 0))
    assert found[0].landing_wind_mps != found[1].landing_wind_mps
    assert found[0].strongest_mps < found[1].strongest_mps


def test_without_a_release_worth_it_none_is_told(asked: Asked) -> None:
    poor = tuple(replace(one, chance_ratio=0.01) for one in asked.windows)
    told = cell_of(replace(asked, windows=poor), 0)
    assert told.release_by_after_launch_s is None
    assert told.limit
