"""Noise against kTB and the constants of the Recommendation."""

import math

import pytest

from farglide.errors import InputError
from farglide.radio.noise import (
    galactic_figure_db,
    man_made_figure_db,
    man_made_sd_db,
    noise_raise,
    system_noise_figure_db,
    thermal_noise_dbm,
)


@pytest.mark.parametrize(
    ("bandwidth_hz", "noise_dbm"),
    [(1.0, -173.98), (125e3, -123.01), (8e6, -104.94), (18e6, -101.42), (20e6, -100.96)],
)
def test_thermal_noise(bandwidth_hz: float, noise_dbm: float) -> None:
    # k T B by hand, CODATA 2018's 1.380649e-23 J/K and 290 K, printed to 0.01
    assert thermal_noise_dbm(bandwidth_hz) == pytest.approx(noise_dbm, abs=0.006)


@pytest.mark.parametrize(
    ("place", "megahertz", "figure_db"),
    [
        # ITU-R P.372 constants as in the code of Study Group 3
        ("city", 100.0, 21.4), ("residential", 144.0, 12.7), ("rural", 144.0, 7.4),
        ("quiet rural", 144.0, -8.1),
        # second branch of the city, P.372-8, second-hand
        ("city", 433.92, 11.86), ("city", 868.0, 8.16),
    ],
)  # fmt: skip
def test_man_made_noise(place: str, megahertz: float, figure_db: float) -> None:
    assert man_made_figure_db(place, megahertz * 1e6) == pytest.approx(figure_db, abs=0.051)


def test_the_branches_of_the_city_meet_at_129_megahertz() -> None:
    below, above = man_made_figure_db("city", 128.8e6), man_made_figure_db("city", 129.0e6)
    assert below == pytest.approx(above, abs=0.03)


def test_galactic_noise() -> None:
    assert galactic_figure_db(144e6) == pytest.approx(2.36, abs=0.006)  # ITU-R P.372


def test_noise_from_outside_adds_as_power() -> None:
    assert system_noise_figure_db(3.0) == pytest.approx(3.0)
    # f = f_a + f_r - 1: 10 dB outside and 3 dB inside
    expected = 10.0 ** (10.0 / 10.0) + 10.0**0.3 - 1.0
    assert 10.0 ** (system_noise_figure_db(3.0, [10.0]) / 10.0) == pytest.approx(expected)
    assert system_noise_figure_db(3.0, [10.0, 10.0]) > system_noise_figure_db(3.0, [10.0]) + 2.5


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match="Give hertz"):
        thermal_noise_dbm(0.5)
    with pytest.raises(InputError, match="quiet rural"):
        man_made_figure_db("village", 144e6)
    with pytest.raises(InputError, match="measure the noise"):
        man_made_figure_db("rural", 433e6)
    with pytest.raises(InputError, match="receiver_db"):
        system_noise_figure_db(-3.0)


def test_deciles_become_a_deviation() -> None:
    # half of what lies between the deciles of P.372-10, table 2, is 1.2816 deviations
    for place, span_db in (("city", 17.7), ("residential", 15.9), ("rural", 13.8)):
        assert man_made_sd_db(place) == pytest.approx(0.5 * span_db / 1.2816)
    assert man_made_sd_db("quiet rural") == man_made_sd_db("rural")
    with pytest.raises(InputError, match="residential"):
        man_made_sd_db("sea")


def test_a_place_raises_the_floor_by_the_power_it_adds() -> None:
    raised_db, sd_db = noise_raise(3.0, "rural", 144e6)
    man_made = 10.0 ** (0.1 * man_made_figure_db("rural", 144e6))
    total = man_made + 10.0 ** (0.1 * galactic_figure_db(144e6)) + 10.0**0.3 - 1.0
    assert raised_db == pytest.approx(10.0 * math.log10(total) - 3.0)
    assert sd_db == pytest.approx(man_made_sd_db("rural") * man_made / total)
    # the slope of the floor by the man-made figure, by finite differences
    louder = man_made * 10.0**0.001
    slope = 10.0 * math.log10((total - man_made + louder) / total) / 0.01
    assert sd_db == pytest.approx(man_made_sd_db("rural") * slope, rel=2e-3)


def test_a_place_quieter_than_the_floor_takes_nothing_off() -> None:
    assert noise_raise(3.0, "quiet rural", 240e6) == (0.0, 0.0)
    with pytest.raises(InputError, match="measure the noise"):
        noise_raise(3.0, "rural", 433.92e6)
