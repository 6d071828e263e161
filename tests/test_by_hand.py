"""The figures that tests call independent, computed again by scripts that share no code."""

import importlib.util
import math
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from .by_hand import ground, links
from .by_hand.air import air, root_density_m
from .by_hand.climb import climb
from .by_hand.figures import BY_HAND
from .by_hand.glider import drop, slowed_share, steady, to_fly
from .by_hand.reach import BRACKMOOR, CORRAND, HOME, TANSY, Field, best_glide_s, sunk_s
from .by_hand.unsteered import (
    CIRCLE_MPS,
    SPIN_MPS,
    SPIRAL_MPS,
    burst_door_s,
    burst_fall,
    door_s,
    drift_and_s,
    within_min,
)

KNAP, GAP = (18.0, -15.1, 470.0), (12.6, -9.9, 500.0)


def listed() -> ModuleType:
    """Return the list of figures of the page, which needs the plan for its other columns."""
    path = Path(__file__).parent / "independent.py"
    spec = importlib.util.spec_from_file_location("independent", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["independent"] = module
    spec.loader.exec_module(module)
    return module


FIGURES = {one.label: one for one in listed().FIGURES}
CHANCES = {
    "Home open and balloon whole, T+68, 72, 76, 80", "The same, packs counted",
    "Whole at T+78, 80, climb not known", "Home open, T+20, 22, 24, 26, 62, 64",
    "The first four, errors out and back drawn apart", "Home reopens by 9 in 10: T+",
    "Home shut by 9 in 10: min", "Window ends, release by: T+",
}  # fmt: skip


def test_every_figure_of_the_page_is_computed_here() -> None:
    assert set(BY_HAND) | CHANCES == set(FIGURES)


@pytest.mark.parametrize("label", list(BY_HAND))
def test_figures_of_the_page(label: str) -> None:
    figure, found = FIGURES[label], BY_HAND[label]()
    for value, printed in zip(found, figure.values, strict=True):
        allowed = max(figure.within, figure.share * abs(printed))
        assert value == pytest.approx(printed, abs=allowed + 1e-9)


# --- figures of single tests ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amsl_m", "ratio", "tas_mps", "reynolds"),
    [(500.0, 8.69, 11.0, 121e3), (20e3, 6.8, 38.0, 41e3), (30e3, 5.4, 84.0, 18e3)],
)
def test_best_glide_by_height(amsl_m: float, ratio: float, tas_mps: float, reynolds: float) -> None:
    here, (eas, found) = air(amsl_m), to_fly(amsl_m, 0.0)
    tas = eas * math.sqrt(1.225 / here.rho)
    assert found == pytest.approx(ratio, rel=0.01)
    assert tas == pytest.approx(tas_mps, abs=0.5)
    assert here.rho * tas * 0.17 / here.viscosity_pas == pytest.approx(reynolds, rel=0.01)


@pytest.mark.parametrize(
    ("head_mps", "eas_mps", "gained"),
    [
        (0.0, 10.3, 8.1), (10.0, 13.3, 4.0), (20.0, 19.7, 1.8), (30.0, 25.4, 0.85),
        (40.0, 31.2, 0.31), (50.0, 31.8, -0.07),
    ],
)  # fmt: skip
def test_speed_to_fly_at_10_km(head_mps: float, eas_mps: float, gained: float) -> None:
    found = to_fly(10e3, -head_mps)
    assert found == (pytest.approx(eas_mps, abs=0.21), pytest.approx(gained, abs=0.06))


def test_single_glides_at_10_km() -> None:
    held, fastest = (steady(air(10e3), np.array([eas])) for eas in (to_fly(10e3, 0.0)[0], 32.0))
    assert float((held.level_mps[0] - 30.0) / held.sink_mps[0]) == pytest.approx(-5.7, abs=0.05)
    assert float(fastest.level_mps[0]) == pytest.approx(48.1, rel=0.003)
    assert slowed_share(30e3, 10.3) == pytest.approx(0.05, abs=0.006)
    assert slowed_share(20e3, 32.0) == pytest.approx(0.11, abs=0.005)


def test_the_drop() -> None:
    high, middle, low = (drop(z) for z in (30e3, 20e3, 10e3))
    assert (high.air_s, high.level_s) == (pytest.approx(11, abs=0.5), pytest.approx(25, abs=0.5))
    assert (high.air_lost_m, high.level_lost_m) == pytest.approx((590.0, 1700.0), rel=0.015)
    assert (middle.level_s, middle.level_lost_m) == pytest.approx((12.0, 390.0), rel=0.02)
    assert (low.level_s, low.level_lost_m) == pytest.approx((6.0, 89.0), rel=0.04)
    assert high.level_tas_mps == pytest.approx(135.0, abs=0.5)
    assert high.peak_mach == pytest.approx(0.45, abs=0.02)
    assert high.peak_eas_mps == pytest.approx(19.0, abs=0.5)


def test_times_down_and_falls_of_one_sink() -> None:
    assert root_density_m(10e3) == pytest.approx(7804.0, abs=0.5)
    assert root_density_m(30e3) == pytest.approx(13_749.0, abs=0.5)
    assert sunk_s(15_900.0 + 240.0, 240.0, SPIRAL_MPS) / 60.0 == pytest.approx(39.0, abs=0.5)
    assert best_glide_s(15_900.0 + 240.0, 240.0) / 60.0 == pytest.approx(140.0, abs=1.0)
    # printed as 154, 48 and 19 min: the last is 154 min x 1.4 / 11 = 19.6, cut
    for sink, km, minutes in ((1.4, 131.0, 154.0), (4.5, 41.0, 48.0), (11.0, 17.0, 19.6)):
        away_m, after_s = drift_and_s(26e3, sink, 240.0)
        assert away_m / 1e3 == pytest.approx(km, abs=0.5)
        assert after_s / 60.0 == pytest.approx(minutes, abs=0.5)


@pytest.mark.parametrize(
    ("sink_mps", "home_min", "tansy_min", "with_packs_min"),
    [(CIRCLE_MPS, 16.2, 27.7, 12.3), (SPIRAL_MPS, 5.2, 9.5, 4.5), (SPIN_MPS, 2.3, 4.2, 2.2)],
)
def test_doors_after_a_release_that_nobody_steers(
    sink_mps: float, home_min: float, tansy_min: float, with_packs_min: float
) -> None:
    # within 0.35 min: whether the half minute from the release to gliding counts is not told
    assert door_s(HOME, sink_mps) / 60.0 == pytest.approx(home_min, abs=0.35)
    assert door_s(TANSY, sink_mps) / 60.0 == pytest.approx(tansy_min, abs=0.35)
    assert door_s(HOME, sink_mps, packs=True) / 60.0 == pytest.approx(with_packs_min, abs=0.35)


@pytest.mark.parametrize(
    ("area_m2", "home_s", "tansy_s", "minute_km"),
    [(0.12, 116.0, 204.0, 23.0), (0.2, 146.0, 260.0, 23.9), (0.3, 180.0, 318.0, 24.4)],
)
def test_doors_after_a_burst(
    area_m2: float, home_s: float, tansy_s: float, minute_km: float
) -> None:
    # a bursting diameter of 5.81 m: 27 475 m at T+78.3
    assert climb(bursting_m=5.81).burst_min == pytest.approx(78.3, abs=0.05)
    assert burst_door_s(HOME, area_m2, 5.81) == pytest.approx(home_s, abs=4.0)
    assert burst_door_s(TANSY, area_m2, 5.81) == pytest.approx(tansy_s, abs=4.0)
    after = dict(burst_fall(area_m2, 5.81))
    assert after[0.0].amsl_m == pytest.approx(27_475.0, abs=5.0)
    assert after[60.0].amsl_m / 1e3 == pytest.approx(minute_km, abs=0.06)


@pytest.mark.parametrize(
    ("sink_mps", "field", "printed_min"),
    [
        (SPIRAL_MPS, BRACKMOOR, (77.0, 93.0)), (SPIRAL_MPS, CORRAND, (77.0, 104.0)),
        (CIRCLE_MPS, BRACKMOOR, (78.0, 113.0)), (CIRCLE_MPS, CORRAND, (77.0, 126.0)),
    ],
)  # fmt: skip
def test_inside_28_km_of_a_field(
    sink_mps: float, field: Field, printed_min: tuple[float, float]
) -> None:
    assert within_min(field, sink_mps, 28e3) == pytest.approx(printed_min, abs=1.4)
    for x_km, y_km, amsl_m in (KNAP, GAP):
        stand = Field(1e3 * x_km, 1e3 * y_km, amsl_m)
        assert math.isnan(within_min(stand, sink_mps, 28e3)[0])


def test_heights_where_the_picture_is_lost() -> None:
    home, tansy, brackmoor = ground._FIELDS
    assert ground.lost_m(KNAP, home) == pytest.approx(391.0, abs=1.0)
    assert ground.lost_m(KNAP, home, 0.0) == pytest.approx(343.0, abs=1.0)
    assert ground.lost_m(KNAP, home, 0.0, 1e12) == pytest.approx(321.0, abs=1.0)
    # a crest is a line of points here: 6 m printed, 7.5 with points of 10 m from the 300th on
    assert ground.lost_m(GAP, home) == pytest.approx(6.0, abs=2.0)
    assert max(ground.lost_m(KNAP, field) for field in (tansy, brackmoor)) < 1.5


def test_links_of_the_demo() -> None:
    picture, command = links.PICTURE, links.COMMAND
    assert links.noise_dbm(16e6, 2.0) == pytest.approx(-99.9, abs=0.05)
    assert picture.threshold_dbm == pytest.approx(-91.0, abs=0.1)
    assert picture.reach_m() / 1e3 == pytest.approx(80.0, abs=0.5)
    assert picture.reach_m(6.0) / 1e3 == pytest.approx(40.0, abs=0.5)
    assert picture.reach_m(9.0) / 1e3 == pytest.approx(28.0, abs=0.5)
    assert command.reach_m() / 1e3 == pytest.approx(244.0, abs=0.5)
    flown = climb()
    for place, minute, km, elevation, db in (
        (KNAP, 60.0, 39.6, 28.0, 6.1), (KNAP, 76.0, 42.1, 38.0, 5.6),
        ((0.0, 0.0, 240.0), 76.0, None, None, 2.2), (GAP, 76.0, None, None, 4.4),
    ):  # fmt: skip
        stand = (place[0], place[1], (place[2] + 3.0) / 1e3)
        range_m, elevation_deg = links.seen(stand, flown.at_min(minute))
        assert picture.margin_db(range_m) == pytest.approx(db, abs=0.1)
        if km is not None:
            assert range_m / 1e3 == pytest.approx(km, abs=0.05)
            assert elevation_deg == pytest.approx(elevation, abs=0.5)
    range_m, _ = links.seen((18.0, -15.1, 0.473), flown.at_min(76.0))
    assert command.margin_db(range_m) == pytest.approx(15.3, abs=0.1)
