"""Forecast: files over an area become the air at the launch, and what lies around it."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.sources.grids.encode import Even, air, grib2

from farglide.errors import SourceError, UncoveredError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.forecast import Files, Whose, gather_forecast
from farglide.gather.gather import gather_winds
from farglide.sortie.spec import Sortie

FIRST = Even()  # 50 to 40 N, 10 to 30 E, in steps of 5 degrees


@pytest.fixture
def sortie(demo_flight: FlightFile) -> Sortie:
    launch = replace(demo_flight.sortie.launch, lat_deg=45.5, lon_deg=20.5)
    return replace(demo_flight.sortie, launch=launch, fields=(), stands=(), terrain=None)


def written(folder: Path, name: str = "forecast.grib2", grid: Even = FIRST) -> Path:
    path = folder / name
    path.write_bytes(grib2(air(grid)))
    return path


def test_the_column_at_the_launch_knows_the_forecast_round_it(
    sortie: Sortie, tmp_path: Path
) -> None:
    over = gather_forecast(sortie, Files(winds=[written(tmp_path)]))
    grid = over.around
    assert grid is not None
    assert over.members is None
    assert grid.holds(sortie.launch.lat_deg, sortie.launch.lon_deg)
    # bilinear, by hand: a tenth of a step north and of a step east of the middle point
    row, column = int(np.searchsorted(grid.lat_deg, 45.5)) - 1, 0
    column = int(np.searchsorted(grid.lon_deg, 20.5)) - 1
    b = (45.5 - grid.lat_deg[row]) / 5.0
    a = (20.5 - grid.lon_deg[column]) / 5.0
    u = grid.u_mps[0, 0, :, row : row + 2, column : column + 2].astype(float)
    wanted = (1 - b) * ((1 - a) * u[:, 0, 0] + a * u[:, 0, 1])
    wanted += b * ((1 - a) * u[:, 1, 0] + a * u[:, 1, 1])
    assert over.u_mps == pytest.approx(wanted[-len(over.u_mps) :], abs=1e-4)


def test_a_file_of_a_forecast_named_as_winds_is_taken_so(sortie: Sortie, tmp_path: Path) -> None:
    path = written(tmp_path)
    named = gather_winds(sortie, path)
    np.testing.assert_array_equal(named.u_mps, gather_forecast(sortie, Files(winds=[path])).u_mps)
    assert named.around is not None


def test_whose_it_is_is_named_wherever_it_is_used(sortie: Sortie, tmp_path: Path) -> None:
    whose = Whose("the office", "as you like")
    over = gather_forecast(sortie, Files(winds=[written(tmp_path)], whose=whose))
    assert over.origin.endswith("(the office)")
    assert "The forecast is of the office; licence: as you like." in over.notes
    assert over.around is not None
    assert over.around.attribution == "the office"


def test_files_that_cover_less_than_a_long_drift_are_taken_as_far_as_they_go(
    sortie: Sortie, tmp_path: Path
) -> None:
    small = Even(lats_deg=(46.0, 45.0), lons_deg=(20.0, 21.0), shape=(3, 3))
    over = gather_forecast(sortie, Files(winds=[written(tmp_path, grid=small)]))
    assert over.around is not None
    assert over.around.lat_deg[0] >= 45.0
    assert over.around.lat_deg[-1] <= 46.0


def test_files_that_do_not_cover_the_launch_are_refused_with_the_side(
    sortie: Sortie, tmp_path: Path
) -> None:
    away = replace(sortie, launch=replace(sortie.launch, lat_deg=51.0))
    with pytest.raises(UncoveredError, match="does not cover the area in the north"):
        gather_forecast(away, Files(winds=[written(tmp_path)]))


def test_a_file_cut_short_is_refused(sortie: Sortie, tmp_path: Path) -> None:
    path = written(tmp_path)
    path.write_bytes(path.read_bytes()[:-100])
    with pytest.raises(SourceError, match="is cut short"):
        gather_forecast(sortie, Files(winds=[path]))
