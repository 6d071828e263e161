"""Measured patterns: what the table says, and every way it can be wrong."""

import math

import numpy as np
import pytest

from farglide.errors import ContradictionError, InputError
from farglide.radio.antenna.measured import Measured, PatternRow, measured_beam, measured_pattern
from farglide.radio.antenna.pattern import gain_towards_dbi, peak_dbi
from farglide.radio.antenna.shape import dipole_dbi

ONE_SIDE = [
    (0.0, 12.0),
    (20.0, 9.0),
    (45.0, 0.0),
    (75.0, -6.0),
    (105.0, -9.0),
    (135.0, -8.0),
    (165.0, -5.0),
    (180.0, -3.0),
]


def _both_sides(shift_db: float) -> list[tuple[float, float]]:
    left = [(-angle, gain + shift_db) for angle, gain in ONE_SIDE if 0.0 < angle < 180.0]
    return ONE_SIDE + left


def test_a_measured_antenna_has_one_plane_or_two() -> None:
    rows, narrow = tuple(ONE_SIDE), tuple((angle, gain - 0.1 * angle) for angle, gain in ONE_SIDE)
    one = Measured(level=rows).pattern()
    assert np.array_equal(one.level_dbi, measured_pattern(rows).level_dbi)
    assert one.upright_dbi is one.level_dbi
    both = Measured(level=rows, upright=narrow).pattern()
    assert np.array_equal(both.upright_dbi, measured_pattern(narrow).level_dbi)


def test_rows_are_met_and_joined_by_lines() -> None:
    # 10.5 and -3 dBi: half-way and a third of the way between invented rows
    pattern = measured_pattern(ONE_SIDE)
    for angle_deg, row_dbi in ONE_SIDE:
        assert gain_towards_dbi(pattern, angle_deg) == pytest.approx(row_dbi, abs=1e-9)
    assert gain_towards_dbi(pattern, 10.0) == pytest.approx(10.5, abs=1e-9)
    assert gain_towards_dbi(pattern, 60.0, 33.0) == pytest.approx(-3.0, abs=1e-9)
    assert peak_dbi(pattern) == pytest.approx(12.0, abs=1e-9)
    assert pattern.floor_dbi == pytest.approx(-9.0, abs=1e-9)


def test_order_of_rows_does_not_matter() -> None:
    order = np.random.default_rng(4).permutation(len(ONE_SIDE))
    shuffled = measured_pattern([ONE_SIDE[k] for k in order])
    assert (shuffled.level_dbi == measured_pattern(ONE_SIDE).level_dbi).all()


def test_two_sides_are_averaged_in_power() -> None:
    same = measured_pattern(_both_sides(0.0))
    assert same.level_dbi == pytest.approx(measured_pattern(ONE_SIDE).level_dbi, abs=1e-12)
    weaker = measured_pattern(_both_sides(-6.0))
    expected_dbi = -6.0 + 10.0 * math.log10(0.5 * (1.0 + 10.0**-0.6))
    assert gain_towards_dbi(weaker, 75.0) == pytest.approx(expected_dbi, abs=1e-9)
    assert gain_towards_dbi(weaker, 0.0) == pytest.approx(12.0, abs=1e-9)


def test_straight_behind_may_stand_twice_if_it_agrees() -> None:
    pattern = measured_pattern([*_both_sides(0.0), (-180.0, -3.0)])
    assert pattern.level_dbi == pytest.approx(measured_pattern(ONE_SIDE).level_dbi, abs=1e-12)
    with pytest.raises(InputError, match="-9 and -3 dBi at -180 and 180°"):
        measured_pattern([*_both_sides(0.0), (-180.0, -9.0)])


def test_a_hole_across_the_back_is_bridged_round_the_circle() -> None:
    rows = [(angle, 0.1 * angle) for angle in range(-170, 171, 20)]
    pattern = measured_pattern([(float(angle), gain) for angle, gain in rows])
    right_dbi, left_dbi = 17.0 - 34.0 * 5.0 / 20.0, -17.0 + 34.0 * 5.0 / 20.0
    expected = 10.0 * math.log10(0.5 * (10.0 ** (0.1 * right_dbi) + 10.0 ** (0.1 * left_dbi)))
    assert gain_towards_dbi(pattern, 175.0) == pytest.approx(expected, abs=1e-9)


def test_a_dipole_measured_every_2_degrees_is_a_dipole() -> None:
    rows = [(float(angle), dipole_dbi(float(angle))) for angle in range(0, 181, 2)]
    pattern = measured_pattern(rows)
    for angle_deg in np.arange(15.0, 166.0, 3.7):
        found_dbi = gain_towards_dbi(pattern, float(angle_deg))
        assert found_dbi == pytest.approx(dipole_dbi(float(angle_deg)), abs=0.05)


def test_fine_rows_keep_their_step() -> None:
    rows = [(float(angle), -12.0 * (angle / 4.0) ** 2) for angle in np.arange(0.0, 8.0, 0.5)]
    rows += [(float(angle), -45.0) for angle in range(20, 181, 20)]
    pattern = measured_pattern(rows)
    assert len(pattern.level_dbi) == 361
    assert gain_towards_dbi(pattern, 2.5) == pytest.approx(-12.0 * 0.625**2, abs=1e-9)


def test_two_planes_make_a_beam() -> None:
    # halves of the invented rows, and the mean of both planes between them
    wide = [(angle, 12.0 + (gain - 12.0) / 2.0) for angle, gain in ONE_SIDE]
    beam = measured_beam(ONE_SIDE, wide)
    assert gain_towards_dbi(beam, 20.0) == pytest.approx(9.0, abs=1e-9)
    assert gain_towards_dbi(beam, 20.0, 90.0) == pytest.approx(10.5, abs=1e-9)
    assert gain_towards_dbi(beam, 20.0, 45.0) == pytest.approx(9.75, abs=1e-9)
    with pytest.raises(ContradictionError, match=r"12.0 dBi on the boresight.*9.0 dBi"):
        measured_beam(ONE_SIDE, [(angle, gain - 3.0) for angle, gain in ONE_SIDE])


def _with(*rows: tuple[float, float]) -> list[tuple[float, float]]:
    return [*ONE_SIDE, *rows]


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        (ONE_SIDE[:4], "pattern is 4 rows; allowed: 5 rows or more"),
        (_with((190.0, 0.0)), r"angle of row 9 of the pattern is 190°.*190 degrees as -170"),
        (_with((math.nan, 0.0)), "angle of row 9 of the pattern is nan°"),
        (_with((30.0, math.inf)), "gain of row 9 of the pattern is inf dBi"),
        (_with((30.0, math.nan)), "gain of row 9 of the pattern is nan dBi"),
        (_with((30.0, -75.0)), r"gain of row 9 .* is -75 dBi; allowed: -60 to 60 dBi.*nor dBm"),
        (_with((45.0, 1.0)), "pattern is 45° twice; allowed: each angle once"),
        (_with((0.0, 12.0)), "pattern is 0° twice"),
        (ONE_SIDE[:2] + ONE_SIDE[3:], "a hole from 20 to 75°"),
        (ONE_SIDE[:-3], "a hole from 105 to -105°"),
        (ONE_SIDE[1:], "a hole from -20 to 20°"),
        (_with((-5.0, 12.0)), "a hole from 180 to -5°"),
    ],
)
def test_bad_tables_are_refused(rows: list[tuple[float, float]], message: str) -> None:
    with pytest.raises(InputError, match=message):
        measured_pattern(rows)


def test_a_bad_plane_is_named() -> None:
    with pytest.raises(InputError, match="upright plane is 2 rows"):
        measured_beam(ONE_SIDE, ONE_SIDE[:2])


def test_two_angles_that_hardly_differ_are_no_finer_than_a_tenth_of_a_degree() -> None:
    # 1 / 1e-320 is no number
    rows = [
        PatternRow(angle, 3.0) for angle in (0.0, 1e-320, 30.0, 60.0, 90.0, 120.0, 150.0, 180.0)
    ]
    pattern = measured_pattern(rows)
    assert len(pattern.level_dbi) == 1801
    assert pattern.level_dbi == pytest.approx(np.full(1801, 3.0))
