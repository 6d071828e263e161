"""Convection: worked examples, the limits of the laws, and thin air against the ground's."""

import math

import pytest

from farglide.air.standard import standard_air
from farglide.kernel import door
from farglide.power.convection import _convection_wpm2k, passing_nusselt, rising_nusselt

ask_rising_nusselt = door(rising_nusselt)
ask_passing_nusselt = door(passing_nusselt)

GROUND = standard_air(0.0)
AT_30_KM = standard_air(29_859.0)  # 30 000 m geometric


def test_worked_example_of_a_cylinder_across_the_stream() -> None:
    # Re 6071 and Pr 0.70: an open heat transfer code computes 40.63708594 and finds the book's
    # Example 7.3 matched (Bergman et al., Introduction to Heat Transfer, 6th ed.). The rest of the
    # example from memory: 12.7 mm, 10 m/s, air 26.2 C, cylinder 128.4 C, film 350 K, 96 W/(m2 K);
    # 102 was measured.
    assert ask_passing_nusselt(6071.0, 0.70) == pytest.approx(40.63708594, rel=1e-9)
    rho = 101_325.0 / (287.05287 * 299.35)
    found = _convection_wpm2k(rho, 299.35, 401.55, 10.0, 0.0127)
    assert found == pytest.approx(96.0, rel=0.015)  # rising air adds half a per cent
    assert found == pytest.approx(102.0, rel=0.1)


def test_worked_example_of_a_pipe_in_still_air() -> None:
    # Ra 0.69 x 2.63e9 and Pr 0.69: an open heat transfer code computes 139.13493970 and finds the
    # book's Example 9.2 matched
    assert ask_rising_nusselt(0.69 * 2.63e9, 0.69) == pytest.approx(139.13493970, rel=1e-9)
    # Incropera/Bergman example 9.4, from memory: steam pipe 0.1 m at 165 C in a room of 23 C:
    # Ra 5.073e6, Pr 0.697; worked by hand: 0.387 x 13.11 / 1.206 + 0.6 = 4.806, squared 23.1
    assert ask_rising_nusselt(5.073e6, 0.697) == pytest.approx(23.1, abs=0.05)
    rho = 101_325.0 / (287.05287 * 296.15)
    # 23.1 x 0.0313 / 0.1 = 7.23; the standard atmosphere's air conducts 1 % less or more
    assert _convection_wpm2k(rho, 296.15, 438.15, 0.0, 0.1) == pytest.approx(7.23, rel=0.02)


def test_other_laws_for_the_same_cylinder() -> None:
    # The same open code at the same numbers: Sanitjai and Goldstein 40.38327084, Fand 45.19984325
    # across the stream; Kuehn and Goldstein 122.99323526 in still air. Laws of heat differ by 15 %.
    passing, rising = ask_passing_nusselt(6071.0, 0.70), ask_rising_nusselt(0.69 * 2.63e9, 0.69)
    assert passing == pytest.approx(40.38327084, rel=0.01)
    assert passing == pytest.approx(45.19984325, rel=0.11)
    assert rising == pytest.approx(122.99323526, rel=0.14)


def test_an_older_law_agrees_where_both_hold() -> None:
    # Hilpert 1933 as in Incropera table 7.2, from memory: Nu = C Re^m Pr^(1/3); both laws are said
    # to hold within 20 %. Its last row, 40 000 to 400 000, lies up to 25 % higher.
    for low, high, c, m in (
        (4.0, 40.0, 0.911, 0.385),
        (40.0, 4_000.0, 0.683, 0.466),
        (4_000.0, 40_000.0, 0.193, 0.618),
    ):
        for reynolds in (low, math.sqrt(low * high), high):
            older = c * reynolds**m * 0.71 ** (1.0 / 3.0)
            assert ask_passing_nusselt(reynolds, 0.71) == pytest.approx(older, rel=0.2)


def test_ends_of_the_laws() -> None:
    assert ask_rising_nusselt(0.0, 0.71) == pytest.approx(0.36, rel=1e-12)
    assert ask_passing_nusselt(0.0, 0.71) == 0.0
    assert ask_passing_nusselt(0.27, 0.71) == 0.0  # Re Pr under 0.2
    assert ask_passing_nusselt(0.29, 0.71) > 0.3


@pytest.mark.parametrize(
    ("speed_mps", "low", "high"),
    # Computed: 3 cm, 20 to 100 K warmer. Air of 1.5 % of the density does not take 1.5 % of the
    # heat: Nusselt numbers go with its root and less. A tenth passing, a seventh rising.
    [(0.0, 0.14, 0.17), (2.0, 0.11, 0.115), (5.0, 0.10, 0.11), (6.0, 0.10, 0.11)],
)
def test_thin_air_cools_by_a_tenth_of_the_ground(speed_mps: float, low: float, high: float) -> None:
    for warmer_k in (20.0, 50.0, 100.0):
        thin, dense = (
            _convection_wpm2k(air.rho_kgpm3, air.t_k, air.t_k + warmer_k, speed_mps, 0.03)
            for air in (AT_30_KM, GROUND)
        )
        assert low < thin / dense < high


def test_at_the_same_equivalent_airspeed_a_third_is_left() -> None:
    tas_mps = 11.0 * math.sqrt(1.225 / AT_30_KM.rho_kgpm3)
    thin = _convection_wpm2k(AT_30_KM.rho_kgpm3, AT_30_KM.t_k, AT_30_KM.t_k + 50.0, tas_mps, 0.03)
    dense = _convection_wpm2k(1.225, 288.15, 338.15, 11.0, 0.03)
    assert thin / dense == pytest.approx(0.29, abs=0.01)


def test_more_wind_and_more_warmth_take_more() -> None:
    row = [_convection_wpm2k(0.3, 220.0, 300.0, v, 0.03) for v in (0.0, 1.0, 3.0, 10.0, 30.0)]
    assert row == sorted(row)
    row = [_convection_wpm2k(0.3, 220.0, t, 0.0, 0.03) for t in (220.0, 230.0, 260.0, 300.0)]
    assert row == sorted(row)
    # as much from a colder body as from a warmer one, but for the film's own temperature
    cold, warm = (_convection_wpm2k(0.3, 250.0, t, 0.0, 0.03) for t in (245.0, 255.0))
    assert cold == pytest.approx(warm, rel=0.02)
