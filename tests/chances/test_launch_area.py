"""Launch area: a shifted home tells what really moving the launch gives."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.chances.chances import chances_of_climb
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.launch_area import ALONG_M, best_chance, drift_axis_rad, launch_spots
from farglide.chances.trial import Trial, median_burst_s, moments_of, summed_up
from farglide.earth.state import place_deg
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.changes import LaunchSpot
from farglide.sim.core.shares import weighted_medians
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

COARSE: Final = Grain(
    n_draws=100, clock_s=60.0, prices_mps=(4.0, 12.0, 30.0, 100.0, 1000.0), slab=5
)


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def base(sortie: Sortie, demo_sounding: Sounding) -> Trial:
    return summed_up(drawn_ensemble(sortie, demo_sounding, COARSE))


@pytest.fixture(scope="module")
def spots(base: Trial) -> tuple[LaunchSpot, ...]:
    return launch_spots(base)


def spot_at(spots: tuple[LaunchSpot, ...], up_m: float, across_m: float) -> LaunchSpot:
    return next(s for s in spots if (s.up_drift_m, s.across_m) == (up_m, across_m))


def test_the_spot_of_the_launch_itself_has_the_plan_s_odds(
    base: Trial, spots: tuple[LaunchSpot, ...]
) -> None:
    here = spot_at(spots, 0.0, 0.0)
    every_second = chances_of_climb(base.ensemble, moments_of(base.ensemble)[::2])
    assert here.chance_ratio == best_chance(base.ensemble, every_second, 0)
    assert here.chance_ratio == pytest.approx(base.chance_ratio, abs=0.01)
    assert here.shut_s == pytest.approx(base.shut_s, abs=120.0)


@pytest.mark.parametrize(
    ("up_m", "across_m"),
    [(10_000.0, 0.0), (-20_000.0, 0.0), (40_000.0, 0.0), (0.0, 20_000.0), (0.0, -20_000.0),
     (20_000.0, -20_000.0), (-10_000.0, 20_000.0)],
)  # fmt: skip
def test_a_spot_tells_what_really_moving_the_launch_gives(
    sortie: Sortie,
    demo_sounding: Sounding,
    base: Trial,
    spots: tuple[LaunchSpot, ...],
    up_m: float,
    across_m: float,
) -> None:
    """Up-drift is against the drift, positive across is to the left of it."""
    axis, frame = drift_axis_rad(base.ensemble), base.ensemble.air.scene.frame
    north_m = -up_m * np.cos(axis) + across_m * np.sin(axis)
    east_m = -up_m * np.sin(axis) - across_m * np.cos(axis)
    lat_deg, lon_deg = place_deg(
        sortie.launch,
        float(north_m / frame.meridian_m),
        float(east_m / (frame.normal_m * frame.cosine)),
    )
    launch = replace(sortie.launch, lat_deg=lat_deg, lon_deg=lon_deg)
    moved = summed_up(drawn_ensemble(replace(sortie, launch=launch), demo_sounding, COARSE))
    spot = spot_at(spots, up_m, across_m)
    assert spot.chance_ratio == pytest.approx(moved.chance_ratio, abs=0.02)
    assert spot.shut_s == pytest.approx(moved.shut_s, abs=240.0)
    assert spot.release_by_after_launch_s == pytest.approx(moved.release_by_s, abs=180.0)


def test_the_two_sides_of_the_drift_differ(spots: tuple[LaunchSpot, ...]) -> None:
    """Else a mirrored sign would not be seen by the test above."""
    left, right = spot_at(spots, 0.0, 20_000.0), spot_at(spots, 0.0, -20_000.0)
    assert right.chance_ratio - left.chance_ratio > 0.02


def test_the_drift_axis_points_to_where_the_balloons_are(base: Trial) -> None:
    ensemble = base.ensemble
    j = round(median_burst_s(ensemble) / ensemble.climbs.tracks.step_s)
    at = np.stack(
        [ensemble.climbs.tracks.north_rad[:, j], ensemble.climbs.tracks.east_rad[:, j]], axis=1
    )
    north, east = weighted_medians(at, np.ones_like(at))
    east_m, north_m = from_launch_m(ensemble.air.scene, float(north), float(east))
    assert drift_axis_rad(ensemble) == pytest.approx(np.arctan2(east_m, north_m), abs=0.01)


def test_spots_lie_on_a_grid_around_the_launch(spots: tuple[LaunchSpot, ...]) -> None:
    assert {s.up_drift_m for s in spots} == set(ALONG_M)
    assert len({(s.up_drift_m, s.across_m) for s in spots}) == len(spots) == 5 * len(ALONG_M)


def test_without_fields_there_is_nowhere_to_launch(sortie: Sortie, demo_sounding: Sounding) -> None:
    bare = drawn_ensemble(replace(sortie, fields=()), demo_sounding, COARSE)
    assert launch_spots(summed_up(bare)) == ()
