"""Around: a forecast round a launch becomes what a flight meets there."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from farglide.air.gridlayers import layer_winds
from farglide.air.windgrid import WindGrid
from farglide.errors import InputError
from farglide.kernel import door
from farglide.rig.around import check_inside, cube_of
from farglide.sim.core.cube import When, apart_at, no_cube
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sortie.spec import Launch

ask = door(apart_at)
P_PA = np.array([1.0e5, 5.0e4, 1.0e4, 1.0e3])
GPH_M = np.array([110.0, 5570.0, 16_180.0, 31_050.0])
EDGES_M = np.arange(0.0, 30_001.0, 1000.0)
LAUNCH = Launch(name="here", lat_deg=-46.4, lon_deg=108.3, amsl_m=240.0, t_s=5000.0, zone="UTC")


def forecast(**changed: Any) -> WindGrid:
    rng = np.random.default_rng(5)
    axes = {
        "times_s": np.array([0.0, 3600.0, 7200.0, 18_000.0, 28_800.0]), "p_pa": P_PA,
        "lat_deg": -50.0 + 1.0 * np.arange(8), "lon_deg": 104.0 + 1.0 * np.arange(10),
        "members": ("one", "two"),
    }  # fmt: skip
    axes |= changed
    shape = tuple(len(axes[name]) for name in ("members", "times_s", "p_pa", "lat_deg", "lon_deg"))
    gph = np.broadcast_to(GPH_M[:, None, None], shape).astype(np.float32)
    winds = [rng.normal(10.0, 5.0, shape).astype(np.float32) for _ in range(2)]
    return WindGrid(gph_m=gph, t_k=np.full_like(gph, 250.0), u_mps=winds[0], v_mps=winds[1], **axes)


@pytest.mark.parametrize("number", [0, 1])
def test_what_is_met_is_the_forecast_at_that_place_and_time(number: int) -> None:
    # scipy's RegularGridInterpolator over the forecast's own uneven times
    grid, rng = forecast(), np.random.default_rng(6)
    cube = cube_of(grid, LAUNCH, EDGES_M, 20_000.0)
    means = layer_winds(grid, EDGES_M)
    told = [RegularGridInterpolator((grid.times_s, grid.lat_deg, grid.lon_deg), one)
            for one in means]  # fmt: skip
    here = told[0]([LAUNCH.t_s, LAUNCH.lat_deg, LAUNCH.lon_deg])[0]
    for _ in range(20):
        after_s = rng.uniform(0.0, 20_000.0)
        north, east = rng.uniform([-3.0, -4.0], [3.0, 4.0])
        there = told[number]([LAUNCH.t_s + after_s, LAUNCH.lat_deg + north, LAUNCH.lon_deg + east])
        when = When(after_s, np.radians(north), np.radians(east))
        for k in (0, 17, 29):
            found = ask(cube, number, when, k)
            assert found == pytest.approx(there[0, k] - here[k], abs=2e-4)


def test_over_the_launch_the_first_member_is_the_column() -> None:
    cube = cube_of(forecast(), LAUNCH, EDGES_M, 20_000.0)
    for k in range(30):
        assert ask(cube, 0, When(0.0, 0.0, 0.0), k) == pytest.approx((0.0, 0.0), abs=1e-5)
    assert max(abs(x) for x in ask(cube, 1, When(0.0, 0.0, 0.0), 9)) > 0.1


def test_only_what_a_flight_needs_is_kept() -> None:
    wide = forecast(lat_deg=-60.0 + np.arange(30.0), lon_deg=90.0 + np.arange(40.0))
    cube = cube_of(wide, LAUNCH, EDGES_M, 3000.0)
    # 5000 s lies between 3600 and 7200, 8000 between 7200 and 18 000: five times an hour apart;
    # 400 km are 3.6 deg of latitude and 5.2 of longitude, and one point more on each side
    assert cube.apart_mps.shape == (2, 5, 9, 12, 30, 2)
    assert (cube.first_s, cube.step_s) == (-1400.0, 3600.0)


def test_a_forecast_across_the_180th_meridian_or_round_the_earth_is_turned_to_the_launch() -> None:
    near = replace(LAUNCH, lon_deg=179.8)
    grid = forecast(lon_deg=175.0 + np.arange(10.0))
    same = replace(grid, lon_deg=grid.lon_deg - 360.0)
    for other in (grid, same):
        cube = cube_of(other, near, EDGES_M, 3000.0)
        assert np.degrees(cube.west_rad) == pytest.approx(-4.8)
    world = forecast(lon_deg=np.arange(0.0, 360.0, 10.0))
    at_zero = replace(LAUNCH, lon_deg=0.5)
    cube = cube_of(world, at_zero, EDGES_M, 3000.0)
    assert np.degrees(cube.west_rad) == pytest.approx(-10.5)
    assert cube.apart_mps.shape[3] == 3
    west = layer_winds(world, EDGES_M)[0, 1, 3, 35] - layer_winds(world, EDGES_M)[0, 1, 3, 0]
    row = np.radians(world.lat_deg[3] - at_zero.lat_deg)
    found = [ask(cube, 0, When(-1400.0, row, np.radians(x)), 4) for x in (-10.5, -0.5)]
    assert np.subtract(*found) == pytest.approx(west[4], abs=1e-4)


def test_a_single_time_holds_throughout() -> None:
    cube = cube_of(forecast(times_s=np.array([4000.0])), LAUNCH, EDGES_M, 20_000.0)
    early, late = (ask(cube, 0, When(t, 0.01, 0.01), 5) for t in (0.0, 2e4))
    assert early == late


def test_a_launch_outside_is_refused() -> None:
    with pytest.raises(InputError, match=r"launch is -51, 108\.3; allowed: -50 to -43° north"):
        cube_of(forecast(), replace(LAUNCH, lat_deg=-51.0), EDGES_M, 3000.0)


def climbs(north_deg: float, east_deg: float, burst_s: float) -> tuple[Tracks, Burst]:
    """Return one climb whose place is known half-way and at the end."""
    z, north, east = (np.array([row]) for row in (
        [0.0, 1e4, 2e4], np.radians([0.0, 0.5 * north_deg, north_deg]),
        np.radians([0.0, 0.5 * east_deg, east_deg])))  # fmt: skip
    ends = (np.array([x]) for x in (burst_s, 2e4, 0.0, 0.0))
    return Tracks(1800.0, z, north, east, z, z), Burst(*ends)


@pytest.mark.parametrize(
    ("place", "side"),
    [((3.6, 0.0), "north"), ((-3.7, 0.0), "south"), ((0.0, 4.9), "east"), ((0.0, -4.5), "west")],
)
def test_a_balloon_that_drifts_out_of_the_forecast_is_told_with_the_side(
    place: tuple[float, float], side: str
) -> None:
    cube = cube_of(forecast(), LAUNCH, EDGES_M, 20_000.0)
    with pytest.raises(InputError, match=f"drift is .* km past the {side}ern side"):
        check_inside(cube, *climbs(*place, np.nan))
    check_inside(cube, *climbs(*place, 1900.0))  # it burst half-way, inside


def test_a_column_alone_has_no_sides() -> None:
    check_inside(no_cube(), *climbs(80.0, 80.0, np.nan))
