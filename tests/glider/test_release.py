"""Drop and pull-out against closed forms, an adaptive integrator, published rows and one log."""

import math
from typing import Final

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from farglide.air.column import AirColumn, build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.earth.heights import geopotential_m
from farglide.errors import InputError
from farglide.glider import release
from farglide.glider.release import Drop, Dropped, Pullout, Start, pull_out
from farglide.glider.wing import Polar, Wing, polar_of
from farglide.kernel import door

G: Final = 9.80665
DEMO: Final = polar_of(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034, 200e3, 0.4, 0.85))
DEMO_DROP: Final = Drop(0.10, 13.0, 2.0, math.radians(8.0))
# The glider of the drop rows: m=1.5 kg, S=0.30 m2, C_L 1.0 at the stall; next to no drag.
SLICK: Final = polar_of(Wing(1.5, 0.30, 0.18, 9.0, 0.85, 0.030, 200e3, 0.0, 1.0))._replace(
    zero_lift_drag=1e-9, induced_drag=1e-12
)


@pytest.fixture(scope="module")
def column() -> AirColumn:
    """Return the standard atmosphere, without wind, at 47 degrees south."""
    gph_m = np.arange(0.0, 41_000.0, 250.0)
    airs = [standard_air(float(h)) for h in gph_m]
    calm = np.zeros(len(gph_m))
    sounding = Sounding(
        gph_m=gph_m,
        p_pa=np.array([air.p_pa for air in airs]),
        t_k=np.array([air.t_k for air in airs]),
        relative_humidity_ratio=np.full(len(gph_m), np.nan),
        u_mps=calm,
        v_mps=calm,
        lat_deg=-46.5,
        lon_deg=108.0,
        t_s=0.0,
        origin="standard",
    )
    return build_column(sounding, 0.0, WindDoubt())


def local_gravity(column: AirColumn, amsl_m: float) -> float:
    layers = column.layers
    return float(layers.gravity_mps2[int((amsl_m - layers.base_amsl_m) / layers.step_m)])


# --- closed forms --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amsl_m", "tas_mps", "height_m", "time_s"),
    [
        # drop from rest to the 1 g stall speed at C_L 1.0, drag ignored: V, V^2/2g, V/g with
        # g = 9.80665; computed, 0.5 %
        (0.0, 8.95, 4.1, 0.91),
        (10_000.0, 15.40, 12.1, 1.58),
        (20_000.0, 33.21, 56.6, 3.41),
        (30_000.0, 72.98, 274.2, 7.51),
    ],
)
def test_drop_to_the_stall_speed(
    column: AirColumn, amsl_m: float, tas_mps: float, height_m: float, time_s: float
) -> None:
    stall_eas = math.sqrt(2.0 * SLICK.weight_n / (1.225 * SLICK.area_m2))
    drop = Drop(1e-9, stall_eas * 1.0001, 2.0, 0.1)
    result = pull_out(SLICK, drop, column, max(amsl_m, 60.0), 12.0)
    # The rows keep gravity and the density of the release: here gravity is the height's own (it
    # stretches V/g and V^2/2g), and over the fall density rises as exp(z/H), which lowers the TAS.
    gravity = local_gravity(column, amsl_m) / G
    k = int(max(amsl_m - result.air_lost_m - column.layers.base_amsl_m, 0.0) / 100.0)
    reached = stall_eas * float(column.layers.tas_per_eas[k])
    thinning = reached / tas_mps
    assert thinning == pytest.approx(1.0, abs=0.026)
    assert result.air_lost_m * gravity / thinning**2 == pytest.approx(height_m, rel=0.012)
    assert result.air_s * gravity / thinning == pytest.approx(time_s, rel=0.012)
    # ... and the fall itself obeys h = V^2/2g and t = V/g
    assert result.air_lost_m == pytest.approx(0.5 * local_gravity(column, amsl_m) * result.air_s**2,
                                              rel=0.004)  # fmt: skip


@pytest.mark.parametrize("amsl_m", [2_000.0, 10_000.0, 20_000.0])
@pytest.mark.parametrize("load", [1.5, 3.0, 4.0])
def test_speed_in_a_pull_without_drag(column: AirColumn, amsl_m: float, load: float) -> None:
    # no drag, constant load factor: V (n - cos g) = const, so from straight down (cos 90 = 0) to
    # the horizon the speed grows to n/(n-1) of that at the pull; closed form, checked by ODE
    pull_eas = 30.0  # fast enough for the load at C_L 1
    drop = Drop(0.0, pull_eas, load, 0.0)
    result = pull_out(SLICK, drop, column, amsl_m, 12.0)
    k = int((amsl_m - result.air_lost_m) / 100.0)
    begun_mps = pull_eas * float(column.layers.tas_per_eas[k])
    assert result.level_tas_mps == pytest.approx(begun_mps * load / (load - 1.0), rel=0.006)
    # dh = (V1^2 - V0^2)/2g: all of it from rest
    gravity = local_gravity(column, amsl_m - 0.5 * result.level_lost_m)
    assert result.level_lost_m == pytest.approx(result.level_tas_mps**2 / (2.0 * gravity), rel=2e-3)


@pytest.mark.parametrize(
    ("pull_mps", "load", "height_m", "exit_mps"),
    [
        # no drag, constant load factor from a 90 deg dive: 63.45 m and 53.33 m/s; computed, 0.5 %
        (40.0, 4.0, 63.45, 53.33),
    ],
)
def test_published_pull_from_the_vertical(
    column: AirColumn, pull_mps: float, load: float, height_m: float, exit_mps: float
) -> None:
    # at 1 km; EAS for the TAS at the pull after 82 m of fall
    amsl_m = 1_000.0
    eas = pull_mps / float(column.layers.tas_per_eas[9])
    result = pull_out(SLICK, Drop(0.0, eas, load, 0.0), column, amsl_m, 12.0)
    assert result.level_lost_m - result.air_lost_m == pytest.approx(height_m, rel=0.005)
    assert result.level_tas_mps == pytest.approx(exit_mps, rel=0.005)


# --- the demo glider -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amsl_m", "air_s", "air_lost_m", "level_s", "level_lost_m"),
    [
        # computed by tests/by_hand: drop C_D 0.10, 2 g from 13 m/s EAS, level at 8
        # deg. Times are printed to the second, heights to two digits; gravity is as at sea level
        # there, 1 % more than at 30 km, where it takes 1 % less height to gather speed.
        (30_000.0, 11.0, 590.0, 25.0, 1_700.0),
        (20_000.0, None, None, 12.0, 390.0),
        (10_000.0, None, None, 6.0, 89.0),
    ],
)
def test_demo_drop(
    column: AirColumn,
    amsl_m: float,
    air_s: float | None,
    air_lost_m: float | None,
    level_s: float,
    level_lost_m: float,
) -> None:
    result = pull_out(DEMO, DEMO_DROP, column, amsl_m, 10.5)
    assert result.level_lost_m == pytest.approx(level_lost_m, rel=0.015)
    assert result.level_s == pytest.approx(level_s, abs=0.5)
    if air_s is not None and air_lost_m is not None:
        assert result.air_s == pytest.approx(air_s, abs=0.5)
        assert result.air_lost_m == pytest.approx(air_lost_m, rel=0.02)
        # TAS 135, Mach 0.45 (at the level TAS; its peak is 0.464 by hand), top EAS 19
        assert result.level_tas_mps == pytest.approx(135.0, abs=0.5)
        assert result.peak_mach == pytest.approx(0.464, abs=0.002)
        assert result.peak_eas_mps == pytest.approx(19.0, abs=0.5)


def test_steady_glide_comes_after_level_flight(column: AirColumn) -> None:
    for amsl_m in (1_000.0, 10_000.0, 20_000.0, 30_000.0):
        result = pull_out(DEMO, DEMO_DROP, column, amsl_m, 10.5)
        assert 0.0 < result.air_s < result.level_s < result.steady_s
        assert 0.0 < result.air_lost_m < result.level_lost_m <= result.steady_lost_m


# --- the integrator ------------------------------------------------------------------------------


def by_adaptive_steps(
    polar: Polar, drop: Drop, column: AirColumn, amsl_m: float
) -> tuple[float, ...]:
    """Return level loss, time and speed by scipy's eighth-order adaptive Runge-Kutta.

    The equations are written afresh: V, g and z of a point mass in a vertical plane, with the
    density of the standard atmosphere itself.
    """
    mass_kg = polar.weight_n / G

    def air(z: float) -> tuple[float, float, float]:
        here = standard_air(geopotential_m(z))
        layers = column.layers
        gravity = np.interp(z, column.edges_amsl_m[:-1] + 50.0, layers.gravity_mps2)
        return here.rho_kgpm3, here.viscosity_pas, float(gravity)

    def fall(_: float, y: NDArray[np.float64]) -> list[float]:
        v, _, z = y
        rho, _, g = air(z)
        return [g - 0.5 * rho * v * v * polar.area_m2 * drop.drop_drag / mass_kg, 0.0, -v]

    def pull(_: float, y: NDArray[np.float64]) -> list[float]:
        v, angle, z = y
        rho, viscosity, g = air(z)
        q_area = 0.5 * rho * v * v * polar.area_m2
        lift_n = min(drop.pull_load * mass_kg * g, q_area * polar.lift_max)
        reynolds = rho * v * polar.chord_m / viscosity
        growth = max(1.0, polar.reference_reynolds / reynolds) ** polar.reynolds_exponent
        drag_n = q_area * polar.zero_lift_drag * growth + polar.induced_drag * lift_n**2 / q_area
        return [
            g * math.sin(angle) - drag_n / mass_kg,
            (g * math.cos(angle) - lift_n / mass_kg) / v,
            -v * math.sin(angle),
        ]

    def enough(_: float, y: NDArray[np.float64]) -> float:
        return float(y[0] * math.sqrt(air(y[2])[0] / 1.225) - drop.pull_eas_mps)

    def level(_: float, y: NDArray[np.float64]) -> float:
        return float(y[1] - drop.level_angle_rad)

    setattr(enough, "terminal", True)  # noqa: B010 (scipy's way to stop at an event)
    setattr(level, "terminal", True)  # noqa: B010
    options = {"method": "DOP853", "rtol": 1e-9, "atol": 1e-9}
    first = solve_ivp(fall, (0.0, 300.0), [0.01, 0.5 * math.pi, amsl_m], events=enough, **options)
    begin = (float(first.t[-1]), first.y[:, -1])
    second = solve_ivp(pull, (begin[0], 300.0), begin[1], events=level, **options)
    v, _, z = second.y[:, -1]
    return amsl_m - float(z), float(second.t[-1]), float(v)


@pytest.mark.parametrize("amsl_m", [1_000.0, 12_000.0, 20_000.0, 30_000.0, 36_000.0])
def test_against_an_adaptive_integrator(column: AirColumn, amsl_m: float) -> None:
    lost_m, after_s, tas_mps = by_adaptive_steps(DEMO, DEMO_DROP, column, amsl_m)
    result = pull_out(DEMO, DEMO_DROP, column, amsl_m, 10.5)
    # 1e-3 for the step, and the layers' straight lines between 100 m
    assert result.level_lost_m == pytest.approx(lost_m, rel=1e-3)
    assert result.level_s == pytest.approx(after_s, rel=1e-3)
    assert result.level_tas_mps == pytest.approx(tas_mps, rel=1e-3)


@pytest.mark.parametrize("amsl_m", [1_000.0, 10_000.0, 20_000.0, 30_000.0])
def test_halving_the_step_changes_less_than_a_metre(
    column: AirColumn, amsl_m: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    craft = Dropped(DEMO, DEMO_DROP, 1.0)
    compiled = pull_out(DEMO, DEMO_DROP, column, amsl_m, 10.5)
    for name in ("_advance", "_part_until", "_rates"):
        monkeypatch.setattr(release, name, door(getattr(release, name)))

    def fly() -> Pullout:
        # the kernel's Python source, so that it reads the changed number of steps
        plain = getattr(release._pull_out, "py_func")  # noqa: B009 (numba's own attribute)
        return Pullout(*plain(craft, column.layers, Start(amsl_m), 10.5))

    whole = fly()
    assert whole == pytest.approx(compiled, rel=1e-9)
    monkeypatch.setattr(release, "_STEPS_TO_PULL", 2.0 * release._STEPS_TO_PULL)
    halved = fly()
    assert halved.level_lost_m == pytest.approx(whole.level_lost_m, abs=1.0)
    assert halved.steady_lost_m == pytest.approx(whole.steady_lost_m, abs=1.0)
    assert halved.level_s == pytest.approx(whole.level_s, abs=0.05)
    assert halved.peak_eas_mps == pytest.approx(whole.peak_eas_mps, rel=2e-3)


def test_let_go_while_falling_it_goes_on_with_that_speed(column: AirColumn) -> None:
    """Ten seconds into a drop from 30 km the glider is let go a second time: it lands the same."""
    craft, layers = Dropped(DEMO, DEMO_DROP, 1.0), column.layers
    whole = Pullout(*release._pull_out(craft, layers, Start(30_000.0), 10.5))
    path, falling = release.Path(0.01, 0.5 * math.pi, 30_000.0), np.int64(0)
    advance = door(release._advance)
    for _ in range(20):
        path = advance(craft, layers, release.Path(*path), falling, 0.5)
    rest = Pullout(*release._pull_out(craft, layers, Start(path[2], path[0]), 10.5))
    lost_m = 30_000.0 - path[2]
    assert lost_m > 400.0
    assert rest.level_lost_m + lost_m == pytest.approx(whole.level_lost_m, abs=1.0)
    assert rest.steady_lost_m + lost_m == pytest.approx(whole.steady_lost_m, abs=1.0)
    assert rest.steady_s + 10.0 == pytest.approx(whole.steady_s, abs=0.05)
    assert rest.peak_mach == pytest.approx(whole.peak_mach, rel=2e-3)
    fast = Pullout(*release._pull_out(craft, layers, Start(30_000.0, 150.0), 10.5))
    assert fast.air_s == pytest.approx(0.0, abs=0.01)  # enough air to pull at once


# --- one flight's log ----------------------------------------------------------------------------


def test_logged_release_from_60_000_feet(column: AirColumn) -> None:
    # Log of an amateur glider dropped from a balloon, launch 4 of 24 August 2002: released at
    # 60 000 ft, level by about 57 000 ft (914 m lost), peak 380 km/h (105.6 m/s, Mach 0.36), 2.5 g.
    # Its wing is not known, so foam gliders of 4, 6 and 10 kg/m2 stand in, dropped nose first (C_D
    # 0.04), each with the pull begun at the speed that makes the peak 380 km/h at 2.5 g.
    amsl_m = 60_000.0 * 0.3048
    sound_mps = 295.07  # US Standard Atmosphere 1976, 11 to 20 km
    lost_m = []
    for loading_kgpm2 in (4.0, 6.0, 10.0):
        wing = Wing(0.25 * loading_kgpm2, 0.25, 0.2, 6.0, 0.75, 0.03, 200e3, 0.4, 0.9)
        tried = [
            pull_out(polar_of(wing), Drop(0.04, float(eas), 2.5, 0.0), column, amsl_m, 16.0)
            for eas in np.arange(17.0, 33.0, 0.25)
        ]
        found = min(tried, key=lambda result: abs(result.peak_mach * sound_mps - 380.0 / 3.6))
        assert found.peak_mach * sound_mps == pytest.approx(380.0 / 3.6, rel=0.02)
        assert found.peak_mach == pytest.approx(0.36, abs=0.01)
        lost_m.append(found.level_lost_m)
    # all more than the 568 m of a fall without drag to that speed, the lightest the most, and the
    # log's 914 m among them
    assert min(lost_m) > 568.0
    assert lost_m[0] > 914.0 > lost_m[2]
    assert lost_m[1] == pytest.approx(914.0, rel=0.10)


# --- what never comes level, and refusals --------------------------------------------------------


def test_a_fall_with_too_much_drag_never_gets_enough_air(column: AirColumn) -> None:
    # terminal EAS sqrt(2W/(rho0 S C_D)) = 8.7 m/s with C_D 0.95: below 13 m/s for ever
    result = pull_out(DEMO, DEMO_DROP._replace(drop_drag=0.95), column, 20_000.0, 10.5)
    assert math.isnan(result.air_s)
    assert math.isnan(result.level_lost_m)
    assert math.isnan(result.steady_s)


def test_a_release_too_low_never_comes_level(column: AirColumn) -> None:
    result = pull_out(DEMO, DEMO_DROP, column, 20.0, 10.5)  # it needs 32 m
    assert not math.isnan(result.air_s)
    assert math.isnan(result.level_lost_m)


@pytest.mark.parametrize(
    ("name", "drop", "amsl_m", "glide_mps"),
    [
        ("pull_eas_mps", DEMO_DROP._replace(pull_eas_mps=9.1), 20_000.0, 10.5),  # stall 9.24
        ("pull_eas_mps", DEMO_DROP._replace(pull_eas_mps=math.nan), 20_000.0, 10.5),
        ("pull_load", DEMO_DROP._replace(pull_load=1.0), 20_000.0, 10.5),
        ("pull_load", DEMO_DROP._replace(pull_load=9.0), 20_000.0, 10.5),
        ("drop_drag", DEMO_DROP._replace(drop_drag=-0.1), 20_000.0, 10.5),
        ("drop_drag", DEMO_DROP._replace(drop_drag=math.nan), 20_000.0, 10.5),
        ("level_angle_rad", DEMO_DROP._replace(level_angle_rad=8.0), 20_000.0, 10.5),  # degrees
        ("glide_eas_mps", DEMO_DROP, 20_000.0, 9.0),
        ("glide_eas_mps", DEMO_DROP, 20_000.0, math.nan),
        ("amsl_m", DEMO_DROP, 41_000.0, 10.5),
        ("amsl_m", DEMO_DROP, -10.0, 10.5),
        ("amsl_m", DEMO_DROP, math.nan, 10.5),
    ],
)
def test_refusals_name_value_and_range(
    column: AirColumn, name: str, drop: Drop, amsl_m: float, glide_mps: float
) -> None:
    with pytest.raises(InputError, match=f"{name} is .*; allowed: "):
        pull_out(DEMO, drop, column, amsl_m, glide_mps)


def test_a_pull_below_the_stall_says_why(column: AirColumn) -> None:
    with pytest.raises(InputError, match=r"above the stall at 9\.24 m/s.*the wing stalls"):
        pull_out(DEMO, DEMO_DROP._replace(pull_eas_mps=9.0), column, 20_000.0, 10.5)
