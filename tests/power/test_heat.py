"""Lumped temperatures: closed forms, balance, order, a general solver, and speed of the kernel."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from farglide.air.standard import standard_air
from farglide.errors import InputError
from farglide.power.convection import _convection_wpm2k
from farglide.power.heat import Around, Body, cube_size_m, temperatures_k

FloatArray = NDArray[np.float64]

SIGMA = 5.670374419e-8
BOX = Body(mass_kg=0.12, specific_heat_jpkgk=1000.0, conductance_wpk=0.06)
CASE = Body(
    mass_kg=0.03, specific_heat_jpkgk=900.0, area_m2=0.006, size_m=0.03, emissivity_ratio=0.8
)


def still(n: int, step_s: float, air_k: float = 220.0, heat_w: float = 0.0) -> Around:
    ones = np.ones((1, n))
    return Around(step_s, air_k * ones, 0.3 * ones, 0.0 * ones, air_k * ones, heat_w * ones)


def climbing(n: int, until_s: float, heat_w: float = 3.0) -> Around:
    """Return the standard air of a climb at 5.5 m/s to 30 km."""
    t = np.linspace(0.0, until_s, n)
    airs = [standard_air(5.5 * s) for s in t]
    air_k = np.array([[air.t_k for air in airs]])
    rho = np.array([[air.rho_kgpm3 for air in airs]])
    ones = np.ones_like(air_k)
    return Around(until_s / (n - 1), air_k, rho, 5.5 * ones, air_k, heat_w * ones)


def start(*kelvins: float) -> FloatArray:
    return np.array(kelvins)


def test_constant_surroundings_give_the_exponential_whatever_the_step() -> None:
    # C = 120 J/K, k = 0.06 W/K: 2000 s; 0.9 W keep it 15 K over the air
    for step_s, n in ((7.0, 500), (60.0, 60), (600.0, 8)):
        found = temperatures_k(BOX, still(n, step_s, heat_w=0.9), start(290.0))[0]
        t = step_s * np.arange(n)
        wanted = 235.0 + (290.0 - 235.0) * np.exp(-t / 2000.0)
        np.testing.assert_allclose(found, wanted, rtol=1e-13)


def test_without_a_way_out_heat_only_gathers() -> None:
    alone = replace(BOX, conductance_wpk=0.0)
    found = temperatures_k(alone, still(11, 60.0, heat_w=1.2), start(250.0))[0]
    np.testing.assert_allclose(found, 250.0 + 1.2 / 120.0 * 60.0 * np.arange(11), rtol=1e-13)


def test_radiation_alone_follows_its_closed_form() -> None:
    # into an empty sky: 1/T^3 = 1/T0^3 + 3 e s A t / C; the thinnest air allowed takes little
    around = still(301, 1.0)._replace(sky_k=np.full((1, 301), 3.0))
    plate = Body(mass_kg=0.01, specific_heat_jpkgk=900.0, area_m2=0.01, emissivity_ratio=0.9)
    around = around._replace(rho_kgpm3=np.full((1, 301), 1e-4), air_k=np.full((1, 301), 200.0))
    hot = temperatures_k(replace(plate, size_m=1.0), around, start(500.0))[0]

    def slope(_: float, t: FloatArray) -> FloatArray:
        h = _convection_wpm2k(1e-4, 200.0, float(t[0]), 0.0, 1.0)
        loss = 0.01 * h * (t - 200.0) + 0.9 * SIGMA * 0.01 * (t**4 - 3.0**4)
        return -loss / 9.0

    exact = solve_ivp(slope, (0.0, 300.0), [500.0], rtol=1e-10, atol=1e-8, method="DOP853")
    assert hot[-1] == pytest.approx(float(exact.y[0, -1]), abs=0.01)
    # the closed form without air is warmer, by the little that the thin air took
    closed = (500.0**-3 + 3.0 * 0.9 * SIGMA * 0.01 * 300.0 / 9.0) ** (-1.0 / 3.0)
    assert 0.0 < closed - hot[-1] < 30.0


def test_a_general_solver_gives_the_same_along_a_climb() -> None:
    around = climbing(321, 5400.0)
    found = temperatures_k(CASE, around, start(288.15))[0]

    def slope(t: float, k: FloatArray) -> FloatArray:
        air = standard_air(5.5 * t)
        h = _convection_wpm2k(air.rho_kgpm3, air.t_k, float(k[0]), 5.5, 0.03)
        out = 0.006 * h * (k - air.t_k) + 0.8 * SIGMA * 0.006 * (k**4 - air.t_k**4)
        return (3.0 - out) / 27.0

    exact = solve_ivp(
        slope, (0.0, 5400.0), [288.15], rtol=1e-8, atol=1e-6, max_step=30.0,
        t_eval=np.linspace(0.0, 5400.0, 321),
    )  # fmt: skip
    # steps of 17 s; the corner of the tropopause costs a little
    np.testing.assert_allclose(found, exact.y[0], atol=0.02)


def test_the_integrator_is_of_second_order() -> None:
    # on a smooth stretch of the climb, below the tropopause
    ends = [
        temperatures_k(CASE, climbing(n, 1800.0), start(288.15))[0, -1] for n in (16, 31, 61, 3601)
    ]
    errors = [abs(end - ends[-1]) for end in ends[:-1]]
    assert errors[0] / errors[1] == pytest.approx(4.0, abs=0.8)
    assert errors[1] / errors[2] == pytest.approx(4.0, abs=0.8)


def test_energy_is_kept() -> None:
    around = climbing(5401, 5400.0)
    found = temperatures_k(CASE, around, start(288.15))[0]
    losses = [
        0.006 * _convection_wpm2k(rho, air, t, 5.5, 0.03) * (t - air)
        + 0.8 * SIGMA * 0.006 * (t**4 - air**4)
        for t, air, rho in zip(found, around.air_k[0], around.rho_kgpm3[0], strict=True)
    ]
    gone_j = float(np.trapezoid(losses, dx=around.step_s))
    # 3 W in 5400 s are 16.2 kJ
    assert 27.0 * (found[-1] - found[0]) == pytest.approx(16_200.0 - gone_j, abs=2.0)


def test_it_ends_where_heat_in_and_out_are_even() -> None:
    found = temperatures_k(CASE, still(400, 60.0, heat_w=3.0), start(220.0))[0, -1]
    h = _convection_wpm2k(0.3, 220.0, float(found), 0.0, 0.03)
    out = 0.006 * h * (found - 220.0) + 0.8 * SIGMA * 0.006 * (found**4 - 220.0**4)
    assert out == pytest.approx(3.0, rel=1e-6)


def test_no_step_is_too_long_to_be_stable() -> None:
    light = replace(CASE, mass_kg=1e-3)  # settles within a few seconds
    found = temperatures_k(light, still(50, 600.0, heat_w=3.0), start(220.0))[0]
    assert np.abs(np.diff(found[30:])).max() < 1.0
    assert 250.0 < found[-1] < 400.0


def test_flights_do_not_touch_each_other() -> None:
    one = climbing(61, 5400.0)
    three = Around(one.step_s, *(np.repeat(rows, 3, axis=0) for rows in one[1:]))
    found = temperatures_k(CASE, three, start(250.0, 288.15, 320.0))
    alone = temperatures_k(CASE, one, start(288.15))
    np.testing.assert_array_equal(found[1], alone[0])
    assert found[0, 5] < found[1, 5] < found[2, 5]
    # what it began with is forgotten after a few times C / (h A): 27 J/K over 0.06 W/K
    assert np.ptp(found[:, -1]) < 0.1


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"mass_kg": 40.0}, "40 g is 0.04"),
        ({"specific_heat_jpkgk": 1.0}, "lithium cells"),
        ({"conductance_wpk": -1.0}, "conductance_wpk"),
        ({"area_m2": 60.0}, "square metres"),
        ({"size_m": 0.0}, r"3 cm is 0\.03"),
        ({"emissivity_ratio": 1.5}, "emissivity_ratio"),
        ({"mass_kg": math.nan}, "mass_kg is nan"),
    ],
)
def test_bad_bodies_are_refused(changes: dict[str, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        replace(CASE, **changes)


def test_bad_surroundings_are_refused() -> None:
    good = still(5, 30.0)
    bad: list[tuple[Around, FloatArray, str]] = [
        (good._replace(step_s=0.0), start(280.0), "step_s"),
        (good._replace(step_s=math.nan), start(280.0), "step_s"),
        (good, start(280.0, 281.0), "shapes"),
        (good._replace(air_k=np.ones(5)), start(280.0), "shapes"),
        (good._replace(heat_w=np.ones((1, 4))), start(280.0), r"heat_w is of shape \(1, 4\)"),
        (good, start(20.0), "start_k is 20 K"),
        (good, start(math.nan), "start_k is nan"),
    ]
    for name, value in (
        ("air_k", -55.0), ("rho_kgpm3", 0.0), ("speed_mps", -1.0), ("sky_k", 0.0), ("heat_w", -1.0),
        ("air_k", math.nan),
    ):  # fmt: skip
        rows = getattr(good, name).copy()
        rows[0, 3] = value
        bad.append((good._replace(**{name: rows}), start(280.0), name))
    for around, start_k, words in bad:
        with pytest.raises(InputError, match=words):
            temperatures_k(CASE, around, start_k)
    tiny = replace(CASE, size_m=1e-3)
    thin = good._replace(rho_kgpm3=np.full((1, 5), 2e-4))
    with pytest.raises(InputError, match="too thin"):
        temperatures_k(tiny, thin, start(280.0))


def test_a_body_that_would_burn_is_refused() -> None:
    with pytest.raises(InputError, match="Check its heat, its area"):
        temperatures_k(CASE, still(400, 60.0, heat_w=200.0), start(280.0))


def test_a_box_counts_as_a_cube_of_its_surface() -> None:
    assert cube_size_m(6.0 * 0.1**2) == pytest.approx(0.1)
    with pytest.raises(InputError, match=r"area_m2 .*Give square metres"):
        cube_size_m(0.0)
