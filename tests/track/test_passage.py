"""Passage: fixes of every kind of height become one flight from the launch."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.air.standard import pressure_altitude_m
from farglide.chances.ensemble import air_of
from farglide.sim.core.scene import Scene
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.passage import Launched, been_of, sea_level_m
from farglide.track.reports import Fix, HeightKind

LAUNCHED = Launched(utc_s=1_000_000.0, separation_m=12.0)


@pytest.fixture(scope="module")
def scene(sortie: Sortie, demo_sounding: Sounding) -> Scene:
    return air_of(sortie, demo_sounding, Grain()).scene


def fix(sortie: Sortie, after_s: float, height_m: float | None, north_deg: float = 0.0) -> Fix:
    return Fix(
        feed="glider", lat_deg=sortie.launch.lat_deg + north_deg, lon_deg=sortie.launch.lon_deg,
        t_s=LAUNCHED.utc_s + after_s, height_m=height_m,
    )  # fmt: skip


def test_fixes_in_any_order_are_one_flight(sortie: Sortie, scene: Scene) -> None:
    said = [
        fix(sortie, 120.0, 900.0, 0.01), fix(sortie, 60.0, 600.0), fix(sortie, 60.0, 640.0),
        fix(sortie, -5.0, 240.0), fix(sortie, 90.0, None), fix(sortie, 150.0, 60_000.0),
        replace(fix(sortie, 180.0, 1200.0), t_s=None),
    ]  # fmt: skip
    been = been_of(said, LAUNCHED, scene)
    np.testing.assert_allclose(been.t_s, [60.0, 120.0])
    np.testing.assert_allclose(been.amsl_m, [600.0, 900.0])
    np.testing.assert_allclose(been.north_rad, [0.0, math.radians(0.01)], atol=1e-12)
    np.testing.assert_allclose(been.east_rad, 0.0, atol=1e-12)
    assert been_of([], LAUNCHED, scene).t_s.shape == (0,)


def test_east_knows_no_date_line(sortie: Sortie, scene: Scene) -> None:
    there = scene._replace(frame=scene.frame._replace(lon_rad=math.radians(179.9)))
    over = replace(fix(sortie, 60.0, 600.0), lon_deg=-179.9)
    assert been_of([over], LAUNCHED, there).east_rad[0] == pytest.approx(math.radians(0.2))


def test_heights_of_all_kinds_are_above_mean_sea_level(sortie: Sortie, scene: Scene) -> None:
    level = fix(sortie, 60.0, 5000.0)
    ellipsoid = replace(level, height_kind=HeightKind.ELLIPSOID)
    assert sea_level_m(level, LAUNCHED, scene.layers) == 5000.0
    assert sea_level_m(ellipsoid, LAUNCHED, scene.layers) == 4988.0
    assert sea_level_m(replace(ellipsoid, separation_m=-30.0), LAUNCHED, scene.layers) == 5030.0
    assert sea_level_m(replace(level, height_m=None), LAUNCHED, scene.layers) is None


def test_a_pressure_height_is_looked_up_in_the_column(sortie: Sortie, scene: Scene) -> None:
    layers = scene.layers
    for k in (20, 150, 250):
        told = Fix(
            feed="glider", lat_deg=0.0, lon_deg=0.0, height_kind=HeightKind.PRESSURE,
            height_m=float(pressure_altitude_m(float(layers.p_pa[k]))),
        )  # fmt: skip
        middle_m = layers.base_amsl_m + layers.step_m * (k + 0.5)
        assert sea_level_m(told, LAUNCHED, layers) == pytest.approx(middle_m, abs=0.5)
    for far_m in (90_000.0, 70_000.0):
        assert sea_level_m(replace(told, height_m=far_m), LAUNCHED, layers) is None
