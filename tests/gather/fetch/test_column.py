"""The parts around the launch as one file, against the reader of columns."""

from pathlib import Path

import numpy as np
import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.gather.fetch.column import AT_LAUNCH, column_file, parts_around
from farglide.gather.fetch.fetching import fetch
from farglide.gather.fetch.wanted import Wanted
from farglide.gather.gather import gather_winds

from .server import NOW_S, REAL, World, asked


def test_the_parts_around_a_moment_are_taken(world: World, wanted: Wanted, tmp_path: Path) -> None:
    taken = fetch(world.client(), world.sources, asked(wanted, tmp_path), NOW_S, world.telling())
    parts = taken.batch.parts  # 8 to 15 UTC
    run_s = taken.batch.run_t_s

    def hours(after_h: float) -> list[int]:
        return [part.step_h for part in parts_around(parts, run_s + 3600.0 * after_h)]

    assert hours(9.5) == [9, 10]
    assert hours(9.0) == [9]
    assert hours(2.0) == [8]
    assert hours(40.0) == [15]


def test_the_column_has_the_winds_of_the_real_file(
    world: World, wanted: Wanted, demo_flight: FlightFile, tmp_path: Path
) -> None:
    sortie = demo_flight.sortie
    taken = fetch(world.client(), world.sources, asked(wanted, tmp_path), NOW_S, world.telling())
    path = column_file(taken.batch, sortie.launch.t_s)
    assert path.name == AT_LAUNCH
    found = gather_winds(sortie, path)
    assert found.t_s == sortie.launch.t_s
    assert found.run_t_s == taken.batch.run_t_s
    # The reader's own column of the whole file; packed anew in 16 bits, and laid on a quarter
    # degree, which between the points of 2.5 degrees changes nothing but rounding.
    real = gather_winds(sortie, REAL)
    np.testing.assert_allclose(found.u_mps, real.u_mps, atol=0.02)
    np.testing.assert_allclose(found.v_mps, real.v_mps, atol=0.02)
    np.testing.assert_allclose(found.gph_m, real.gph_m, atol=1.0)
    np.testing.assert_allclose(found.t_k, real.t_k, atol=0.02)


def test_whole_fields_give_the_same_column(
    world: World, wanted: Wanted, demo_flight: FlightFile, tmp_path: Path
) -> None:
    sortie, columns = demo_flight.sortie, []
    for crops in (True, False):
        world.manner.crops = crops
        root = tmp_path / str(crops)
        taken = fetch(world.client(), world.sources, asked(wanted, root), NOW_S, world.telling())
        columns.append(gather_winds(sortie, column_file(taken.batch, sortie.launch.t_s)))
    assert columns[0].p_pa == pytest.approx(columns[1].p_pa)
    np.testing.assert_allclose(columns[0].u_mps, columns[1].u_mps, atol=0.02)
