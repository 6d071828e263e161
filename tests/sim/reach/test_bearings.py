"""Bearings: a line's weights between them, and how closely the cubic follows a smooth table."""

import numpy as np
import pytest

from farglide.kernel import door
from farglide.sim.reach.bearings import EAST, N_BEARING, NORTH, ahead_on, line_to, turned

ask_line = door(line_to)
ask_ahead = door(ahead_on)
ask_turned = door(turned)
NOTHING = np.zeros(N_BEARING, np.float32)


@pytest.mark.parametrize("degrees", [0.0, 3.0, 45.0, 91.7, 179.99, 181.0, 303.3, 359.9])
def test_a_line_knows_its_length_direction_and_bearing(degrees: float) -> None:
    angle = np.radians(degrees)
    line = ask_line(5000.0 * np.cos(angle), 5000.0 * np.sin(angle))
    assert line.away_m == pytest.approx(5000.0)
    assert (line.east, line.north) == pytest.approx((np.cos(angle), np.sin(angle)))
    assert 0 <= line.first < N_BEARING
    past = float(np.mod(degrees * N_BEARING / 360.0 - line.first + 1e-9, N_BEARING))
    assert 0.0 <= past < 1.0 + 1e-6
    weights = np.array(line[4:])
    assert weights.sum() == pytest.approx(1.0)
    assert weights @ [-1.0, 0.0, 1.0, 2.0] == pytest.approx(past, abs=1e-6)
    back = ask_turned(line)
    assert (back.east, back.north) == pytest.approx((-line.east, -line.north))
    assert (back.first - line.first) % N_BEARING == N_BEARING // 2
    assert back[4:] == line[4:]


def test_no_way_at_all_has_no_direction_but_weights() -> None:
    line = ask_line(0.0, 0.0)
    assert line[:3] == (0.0, 0.0, 0.0)
    assert sum(line[4:]) == pytest.approx(1.0)


def test_between_bearings_a_smooth_table_is_met_to_a_thousandth() -> None:
    """A table as of a glide in a jet: (sqrt(V^2 - c^2) + a) with c up to 0.8 of V."""

    def made_m(angle: float) -> float:
        return float(1e5 * (np.sqrt(1.0 - (0.8 * np.sin(angle)) ** 2) + 0.8 * np.cos(angle)))

    high = np.array([made_m(a) for a in np.arctan2(NORTH, EAST)], np.float32)
    for angle in np.linspace(0.0, 2.0 * np.pi, 721):
        line = ask_line(np.cos(angle), np.sin(angle))
        assert ask_ahead(line, high, NOTHING) == pytest.approx(made_m(angle), abs=100.0)
