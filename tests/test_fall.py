"""Falls against data sheets of dropsondes and the closed form of a constant equivalent airspeed."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from farglide.air.standard import standard_air
from farglide.constants import NOMINAL_EARTH_RADIUS_M, STANDARD_GRAVITY_MPS2
from farglide.errors import InputError
from farglide.fall import (
    THIN_EXPONENT_SD,
    Sink,
    Story,
    StoryKind,
    _fall_speed_mps,
    _gathered,
    _settled_mps,
    parachute_story,
    remains_story,
)
from farglide.fall import settled_mps as settled_in

FOOT_M = 0.3048
SONDE = replace(parachute_story(0.350, 0.26, 0.8), sink_eas_mps=11.0)


def _air_kgpm3(geometric_m: float) -> float:
    gph_m = NOMINAL_EARTH_RADIUS_M * geometric_m / (NOMINAL_EARTH_RADIUS_M + geometric_m)
    return standard_air(gph_m).rho_kgpm3


def _column(top_m: float, step_m: float) -> list[float]:
    """Return standard densities at geometric heights from 0 to the top."""
    return [_air_kgpm3(step_m * level) for level in range(round(top_m / step_m) + 1)]


def sink_mps(story: Story, air_kgpm3: float) -> float:
    """Return the true sink where the air is as dense as this."""
    return _settled_mps(story.sink, math.sqrt(1.225 / air_kgpm3))


def fall_time_s(story: Story, column: list[float], step_m: float) -> float:
    """Return the time through a column, the slowness of a step the mean of its ends."""
    return float(np.trapezoid([1.0 / sink_mps(story, level) for level in column], dx=step_m))


def test_parachute_at_sea_level() -> None:
    # V = sqrt(2 m g / (rho C_d A)): 1.5 kg under 1.0 m nominal diameter, C_d 0.8: 6.18 m/s
    assert sink_mps(parachute_story(1.5, 1.0, 0.8), 1.225) == pytest.approx(6.18, rel=0.005)


def test_dropsonde_at_12_km() -> None:
    # Data sheet of a dropsonde: 11 m/s at sea level and 21 m/s at 12 km, whole numbers; the law of
    # one equivalent airspeed gives 21.8
    sink = sink_mps(SONDE, _air_kgpm3(12_000.0))
    assert sink == pytest.approx(21.8, abs=0.1)
    assert sink == pytest.approx(21.0, abs=1.0)


def test_dropsonde_from_40000_feet() -> None:
    # NCAR fact sheet of two dropsondes: 22 m/s at 40 000 ft, 11 m/s at sea level,
    # "about 14" minutes; the law gives 22.1 m/s and 13.6 min
    top_m = 40_000.0 * FOOT_M
    assert sink_mps(SONDE, _air_kgpm3(top_m)) == pytest.approx(22.1, abs=0.1)
    minutes = fall_time_s(SONDE, _column(top_m, top_m / 100), top_m / 100) / 60.0
    assert minutes == pytest.approx(13.6, abs=0.05)
    assert minutes == pytest.approx(14.0, abs=0.5)


@pytest.mark.parametrize(
    ("feet", "printed_min", "law_min"),
    # NCAR (T. Hock) dropsonde slides, 390 g under 26 cm; printed to half a minute
    [(10_000.0, 4.5, 4.3), (20_000.0, 8.0, 8.0), (30_000.0, 10.5, 11.1)],
)
def test_dropsonde_fall_times(feet: float, printed_min: float, law_min: float) -> None:
    """Within 5 % of the slides, on top of the quarter minute their rounding hides."""
    step_m = feet * FOOT_M / 100
    minutes = fall_time_s(SONDE, _column(feet * FOOT_M, step_m), step_m) / 60.0
    assert minutes == pytest.approx(law_min, abs=0.05)
    assert minutes == pytest.approx(printed_min, abs=0.05 * printed_min + 0.25)


def test_drag_area_of_a_dropsonde() -> None:
    # 2 m g / (rho v^2) for 350 g at 11 m/s: 0.0463 m2, C_d 0.69 on a square of 26 cm
    assert remains_story(0.350, 0.0463).sink_eas_mps == pytest.approx(11.0, rel=0.005)


@pytest.mark.parametrize(
    ("top_m", "integral_m"),
    # integral of sqrt(density / 1.225) over geometric height, US Standard Atmosphere 1976:
    # 7804.0 m to 10 km and 13 749.2 m to 30 km
    [(10_000.0, 7804.0), (30_000.0, 13_749.2)],
)
def test_fall_through_the_standard_air(top_m: float, integral_m: float) -> None:
    slow = Story(kind=StoryKind.CIRCLE, sink_eas_mps=1.0)
    for step_m in (100.0, 500.0):
        seconds = fall_time_s(slow, _column(top_m, step_m), step_m)
        assert seconds == pytest.approx(integral_m, rel=1e-3)


def test_remains_on_one_drag_coefficient_keep_drag_and_weight_equal() -> None:
    # drag = weight; 1.57 kg and 0.2 m2 are the demo's
    story = replace(remains_story(1.57, 0.2), thin_exponent=0.0)
    air_kgpm3 = _air_kgpm3(27_000.0)
    speed_mps = sink_mps(story, air_kgpm3)
    drag_n = 0.5 * air_kgpm3 * speed_mps**2 * 0.2
    assert drag_n == pytest.approx(1.57 * 9.80665, rel=1e-12)
    assert _fall_speed_mps(1.57, 0.2, air_kgpm3, 9.80665) == pytest.approx(speed_mps, rel=1e-12)


# Real falls after a burst, small parachutes most likely, masses unknown: 34 to 45 m/s at 32 km, 15
# to 39 at 20 km, 10 to 19 at 8 km, and from flight to flight a factor 1.6 (one deviation). Source:
# 13 open soundings followed down.
@pytest.mark.parametrize(
    ("amsl_m", "slow_mps", "fast_mps"),
    [(32_000.0, 34.0, 45.0), (20_000.0, 15.0, 39.0), (8_000.0, 10.0, 19.0)],
)
def test_remains_fall_as_real_things_after_a_burst(
    amsl_m: float, slow_mps: float, fast_mps: float
) -> None:
    air_kgpm3 = _air_kgpm3(amsl_m)
    usual = remains_story(1.57, 0.2)
    # the usual one lies among them, or as far off as they differ
    assert slow_mps / 1.6 < sink_mps(usual, air_kgpm3) < 1.6 * fast_mps
    # and all are, within 10 %, what nine in ten draws of drag area and exponent come to
    z = np.random.default_rng(1).standard_normal((4000, 2))
    eas = usual.sink_eas_mps * np.exp(-0.5 * 0.5 * z[:, 0])
    exponents = usual.thin_exponent + THIN_EXPONENT_SD * z[:, 1]
    ratio = math.sqrt(1.225 / air_kgpm3)
    drawn = [_settled_mps(Sink(a, n, 1.0), ratio) for a, n in zip(eas, exponents, strict=True)]
    low, high = np.quantile(drawn, [0.05, 0.95])
    print(f"{amsl_m / 1000.0:.0f} km: {low:.0f} to {high:.0f} m/s")
    assert low < slow_mps * 1.1
    assert high > fast_mps * 0.9


def test_a_sink_timed_low_is_not_carried_up_unchanged() -> None:
    # EAS goes as the density to the power 0.15: at 30 km, where it is 0.01841 kg/m3, 0.53 of it
    usual = remains_story(1.57, 0.2)
    eas = [sink_mps(usual, rho) * math.sqrt(rho / 1.225) for rho in (1.225, 0.01841)]
    assert eas[0] == pytest.approx(usual.sink_eas_mps)
    assert eas[1] / eas[0] == pytest.approx(0.5328, abs=0.001)
    # one deviation of the exponent is a factor 1.6 at 32 km
    thin = (1.225 / _air_kgpm3(32_000.0)) ** THIN_EXPONENT_SD
    assert thin == pytest.approx(1.6, abs=0.05)


def test_what_is_open_or_flies_keeps_its_equivalent_airspeed() -> None:
    # 14 dropsondes from 6.9 to 14.5 km: constant within 3 %
    canopy = parachute_story(1.5, 1.0, 0.8)
    spiral = Story(kind=StoryKind.SPIRAL, sink_eas_mps=4.5)
    for story, heights in ((canopy, (0.0, 7e3, 14e3)), (spiral, (0.0, 14e3, 30e3))):
        for amsl_m in heights:
            rho = _air_kgpm3(amsl_m)
            eas = sink_mps(story, rho) * math.sqrt(rho / 1.225)
            assert eas == pytest.approx(story.sink_eas_mps, rel=0.002)
    rho = _air_kgpm3(32_000.0)
    wanted = canopy.sink_eas_mps * (rho / 0.2279) ** 0.15
    assert sink_mps(canopy, rho) * math.sqrt(rho / 1.225) == pytest.approx(wanted, rel=1e-3)


def test_impossible_falls_are_refused() -> None:
    with pytest.raises(InputError, match="hands-off circle"):
        Story(kind="tumble", sink_eas_mps=5.0)  # type: ignore[arg-type]
    for sink in (0.0, -3.0, math.nan):
        with pytest.raises(InputError, match="equivalent airspeed"):
            Story(kind=StoryKind.SPIN, sink_eas_mps=sink)
    with pytest.raises(InputError, match="Give kilograms"):
        remains_story(1570.0, 0.2)
    with pytest.raises(InputError, match="drag_area_m2"):
        remains_story(1.57, 0.0)
    with pytest.raises(InputError, match="thin_exponent"):
        Story(kind=StoryKind.REMAINS, sink_eas_mps=5.0, thin_exponent=2.0)
    with pytest.raises(InputError, match="canopy_m"):
        parachute_story(1.5, 100.0, 0.8)
    with pytest.raises(InputError, match="drag_coefficient"):
        parachute_story(1.5, 1.0, 0.0)


@pytest.mark.parametrize("settled_mps", [8.0, 60.0, 180.0])
def test_a_fall_gathers_speed_as_its_differential_equation_says(settled_mps: float) -> None:
    solved = solve_ivp(
        lambda _, v: STANDARD_GRAVITY_MPS2 * (1.0 - (v / settled_mps) ** 2),
        (0.0, 12.0),
        [0.0],
        rtol=1e-10,
        atol=1e-10,
        t_eval=np.arange(0.0, 12.5, 2.0),
    )
    speed = 0.0
    for expected in solved.y[0][1:]:
        speed, _ = _gathered(speed, settled_mps, 2.0)
        assert speed == pytest.approx(float(expected), rel=1e-8)
    assert speed <= settled_mps


@pytest.mark.parametrize(("speed_mps", "settled_mps"), [(0.0, 110.0), (60.0, 110.0), (5.0, 12.0)])
def test_height_lost_while_gathering_speed(speed_mps: float, settled_mps: float) -> None:
    """The exact integral is that of a thousand small steps."""
    speed, lost_m, step_s = speed_mps, 0.0, 0.01
    for _ in range(1000):
        after, _ = _gathered(speed, settled_mps, step_s)
        lost_m += 0.5 * (speed + after) * step_s
        speed = after
    found = _gathered(speed_mps, settled_mps, 10.0)
    assert found == pytest.approx((speed, lost_m), rel=1e-5)


def test_a_fall_faster_than_settled_is_settled_at_once() -> None:
    assert _gathered(20.0, 12.0, 10.0) == (12.0, 120.0)


def test_a_fall_in_thinner_air_is_faster_by_the_root_of_the_densities() -> None:
    """Source: drag = weight, at one drag coefficient; ISO 2533:1975 for the air."""
    story = parachute_story(1.5, 1.0, 0.8)
    for gph_m in (0.0, 3000.0, 9000.0):
        rho_kgpm3 = standard_air(gph_m).rho_kgpm3
        assert settled_in(story, rho_kgpm3) == pytest.approx(
            story.sink_eas_mps * math.sqrt(1.225 / rho_kgpm3), rel=1e-6
        )
    with pytest.raises(InputError, match=r"rho_kgpm3 .*Give the density of the air"):
        settled_in(story, 0.0)
