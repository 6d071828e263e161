"""Descend: what nobody steers, against independent figures and the plain integral of its fall."""

from typing import Final

import numpy as np
import pytest

from farglide.air.column import AirColumn, build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.chances.ensemble import Ensemble
from farglide.compute import on_threads
from farglide.fall import parachute_story, remains_story
from farglide.sim.core.airerrors import no_air_errors
from farglide.sim.core.cube import no_cube
from farglide.sim.core.march import SLOWEST_MPS
from farglide.sim.core.scene import Scene, Swarm
from farglide.sim.core.step import frame_of
from farglide.sim.fly.descend import Falls, descend, one_eas
from farglide.sim.fly.passage import from_launch_m

NAN: Final = float("nan")


def falls(starts: np.ndarray, sink_eas_mps: float, to_amsl_m: float) -> Falls:  # type: ignore[type-arg]
    return Falls(starts, one_eas(np.full(len(starts), sink_eas_mps)), to_amsl_m)


def swarm_of(column: AirColumn, n: int, up: float = 0.0) -> Swarm:
    still = no_air_errors(n, len(column.layers.p_pa))
    still.rise_mps.fill(up)
    return Swarm(*(np.ones(n) for _ in range(4)), np.ones((n, 8)), *still, np.arange(n))


@pytest.fixture(scope="module")
def still() -> AirColumn:
    """Return the standard atmosphere with no wind, heights geometric."""
    gph_m = np.arange(0.0, 45_000.0, 250.0)
    air = [standard_air(float(h)) for h in gph_m]
    sounding = Sounding(
        gph_m=gph_m,
        p_pa=np.array([a.p_pa for a in air]),
        t_k=np.array([a.t_k for a in air]),
        relative_humidity_ratio=np.zeros_like(gph_m),
        u_mps=np.zeros_like(gph_m),
        v_mps=np.zeros_like(gph_m),
        lat_deg=45.0,
        lon_deg=0.0,
        t_s=0.0,
        origin="standard",
    )
    return build_column(sounding, 0.0, WindDoubt())


@pytest.fixture(scope="module")
def calm(still: AirColumn) -> Scene:
    return Scene(still.layers, frame_of(45.0, 0.0), no_cube())


@pytest.mark.parametrize(
    ("sink_eas_mps", "drift_km", "minutes"),
    # hands off, firm spiral, spin: computed by tests/by_hand in the demo's winds. It
    # gave 19 min for the spin, cut from 19.6: times go as 1 / sink, 154 min x 1.4 / 11.
    [(1.4, 131.0, 154.0), (4.5, 41.0, 48.0), (11.0, 17.0, 19.6)],
)
def test_from_26_km_in_the_winds_of_the_demo(
    low_demo: Ensemble, sink_eas_mps: float, drift_km: float, minutes: float
) -> None:
    start = np.array([[0.0, 26_000.0, 0.0, 0.0]])
    (t, z, north, east), *_ = descend(
        low_demo.air.scene, low_demo.draws.swarm, falls(start, sink_eas_mps, 240.0)
    )
    assert z == 240.0
    away_km = np.hypot(*from_launch_m(low_demo.air.scene, north, east)) / 1e3
    # the distances are rounded to whole kilometres
    assert away_km == pytest.approx(drift_km, rel=0.02, abs=0.5)
    assert t / 60.0 == pytest.approx(minutes, rel=0.02)


@pytest.mark.parametrize(
    ("from_m", "integral_m"),
    # the integral of sqrt(density / sea-level density) over height, ICAO standard atmosphere,
    # computed by tests/by_hand
    [(10_000.0, 7_804.0), (30_000.0, 13_749.0)],
)
def test_still_air_time_is_the_integral_of_the_root_of_density(
    still: AirColumn, calm: Scene, from_m: float, integral_m: float
) -> None:
    start = np.array([[100.0, from_m, 0.01, -0.02]])
    t, z, north, east = descend(calm, swarm_of(still, 1), falls(start, 2.0, 0.0))[0]
    assert (t - 100.0) * 2.0 == pytest.approx(integral_m, rel=2e-3)
    assert (z, north, east) == (0.0, 0.01, -0.02)
    fine = np.arange(5.0, from_m, 10.0)
    geopotential = fine * 6_356_766.0 / (6_356_766.0 + fine)  # US Standard Atmosphere 1976, eq. 18
    root = [np.sqrt(standard_air(float(h)).rho_kgpm3 / 1.225) for h in geopotential]
    assert (t - 100.0) * 2.0 == pytest.approx(10.0 * sum(root), rel=5e-4)


def test_half_the_sink_takes_twice_the_time(still: AirColumn, calm: Scene) -> None:
    start = np.array([[0.0, 12_345.6, 0.0, 0.0]])
    slow = descend(calm, swarm_of(still, 1), falls(start, 3.0, 77.0))[0, 0]
    assert slow == pytest.approx(
        2.0 * descend(calm, swarm_of(still, 1), falls(start, 6.0, 77.0))[0, 0], rel=1e-12
    )


def test_drift_in_an_even_wind_is_wind_times_time(still: AirColumn, calm: Scene) -> None:
    u = np.full_like(calm.layers.u_mps, 12.0)
    scene = calm._replace(layers=calm.layers._replace(u_mps=u, v_mps=-0.5 * u))
    start = np.array([[0.0, 2_000.0, 0.0, 0.0]])
    t, _, north, east = descend(scene, swarm_of(still, 1), falls(start, 5.0, 0.0))[0]
    east_m, north_m = from_launch_m(scene, north, east)
    # at 1 km on average the ground lies 0.016 % shorter below
    assert east_m == pytest.approx(12.0 * t, rel=4e-4)
    assert north_m == pytest.approx(-6.0 * t, rel=4e-4)


def test_rising_air_delays_and_never_holds_for_ever(still: AirColumn, calm: Scene) -> None:
    start = np.array([[0.0, 1_000.0, 0.0, 0.0]])
    level, rising, held = (
        float(descend(calm, swarm_of(still, 1, up), falls(start, 2.0, 0.0))[0, 0])
        for up in (0.0, 0.5, 5.0)
    )
    assert level < rising < held
    assert held == pytest.approx(1_000.0 / SLOWEST_MPS, rel=1e-6)


def test_nan_starts_pass_through_and_touch_no_neighbour(still: AirColumn, calm: Scene) -> None:
    good = [50.0, 5_000.0, 0.0, 0.0]
    starts = np.array([good, [0.0, NAN, 0.0, 0.0], [NAN, 5_000.0, 0.0, 0.0], good])
    ends = descend(calm, swarm_of(still, 4), falls(starts, 2.0, 0.0))
    assert np.isnan(ends[1:3]).all()
    assert np.isfinite(ends[[0, 3]]).all()
    assert ends[0].tobytes() == ends[3].tobytes()
    on_two = descend(calm, swarm_of(still, 4), falls(starts, 2.0, 0.0), on_threads(2))
    assert on_two.tobytes() == ends.tobytes()


def test_a_start_below_the_height_stays_where_it_is(still: AirColumn, calm: Scene) -> None:
    start = np.array([[10.0, 200.0, 0.0, 0.0]])
    assert descend(calm, swarm_of(still, 1), falls(start, 2.0, 300.0))[0].tolist() == [
        10.0, 200.0, 0.0, 0.0,
    ]  # fmt: skip


def test_remains_fall_at_the_speed_of_their_drag(still: AirColumn, calm: Scene) -> None:
    """Drag = weight: 1.82 kg on 0.2 m2 fall 12.07 m/s at sea level."""
    remains = remains_story(1.82, 0.2)
    assert remains.sink_eas_mps == pytest.approx(np.sqrt(2.0 * 1.82 * 9.80665 / (1.225 * 0.2)))
    start = np.array([[0.0, 30_000.0, 0.0, 0.0]])
    t = descend(calm, swarm_of(still, 1), falls(start, remains.sink_eas_mps, 0.0))[0, 0]
    assert t == pytest.approx(13_749.0 / 12.07, rel=3e-3)


def test_a_parachute_of_twice_the_diameter_takes_twice_as_long(
    still: AirColumn, calm: Scene
) -> None:
    start = np.array([[0.0, 20_000.0, 0.0, 0.0]])
    one, two = (
        float(descend(calm, swarm_of(still, 1), falls(start, one.sink_eas_mps, 0.0))[0, 0])
        for one in (parachute_story(1.5, d, 0.8) for d in (1.0, 2.0))
    )
    assert two == pytest.approx(2.0 * one, rel=1e-9)


def test_each_draw_falls_through_its_own_wind(drawn_demo: Ensemble) -> None:
    n = len(drawn_demo.draws.swarm.gas_kg)
    starts = np.tile([0.0, 20_000.0, 0.0, 0.0], (n, 1))
    ends = descend(drawn_demo.air.scene, drawn_demo.draws.swarm, falls(starts, 4.5, 300.0))
    metres = np.array([from_launch_m(drawn_demo.air.scene, e[2], e[3]) for e in ends])
    swarm = drawn_demo.draws.swarm
    still = no_air_errors(*swarm.home_east_mps.shape)
    calm = swarm._replace(**still._asdict())
    middle = descend(drawn_demo.air.scene, calm, falls(starts, 4.5, 300.0))
    assert (middle == middle[0]).all()
    centre = np.array(from_launch_m(drawn_demo.air.scene, middle[0, 2], middle[0, 3]))
    off_m = np.hypot(*(metres - centre).T)
    # 40 min in winds 1.5 m/s and 8 % off: some kilometres, and half of the draws to either side
    assert 1_000.0 < np.median(off_m) < 6_000.0
    assert np.hypot(*(metres.mean(axis=0) - centre)) < 0.5 * np.median(off_m)
    assert drawn_demo.sortie.doubt.vertical_mps == 0.0
    assert (ends[:, 0] == ends[0, 0]).all()
