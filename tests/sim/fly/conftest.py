"""What tests of flights share."""

import math
from collections.abc import Callable
from types import ModuleType
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from pyproj import Geod

from farglide.air.column import AirColumn, build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.balloon.ascent import balance_of
from farglide.balloon.bands import N_BANDS
from farglide.balloon.envelope import Envelope
from farglide.balloon.gas import GasMix, fill_of
from farglide.constants import AIR_GAS_CONSTANT_JPKGK
from farglide.earth.heights import geometric_at_m
from farglide.sim.core.cube import no_cube
from farglide.sim.core.scene import Balloon, Scene, Swarm
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Tracks

FloatArray = NDArray[np.float64]


GEOD = Geod(ellps="WGS84")


LAT, LON, START_M = -46.5, 108.0, 240.0


WIND_SD_MPS = 3.0


CLOCK_S = 30.0


CONSTANT_DRAG = ((1e5, 0.30),)


@pytest.fixture(scope="module")
def column(demo_sounding: Sounding) -> AirColumn:
    return build_column(demo_sounding, START_M, WindDoubt())


def scene_of(column: AirColumn) -> Scene:
    return Scene(column.layers, frame_of(LAT, LON), no_cube())


def gas_kg(column: AirColumn, neck_kg: float = 1.6) -> float:
    layers = column.layers
    mix = GasMix(gas="hydrogen")
    return fill_of(neck_kg, 1.0, mix, float(layers.p_pa[0]), float(layers.t_k[0])).gas_kg


def balloon_of(
    column: AirColumn,
    drag: tuple[tuple[float, float], ...] = CONSTANT_DRAG,
    hanging_kg: float = 0.82,
) -> Balloon:
    envelope = Envelope(
        balloon_kg=1.0,
        gas_kg=gas_kg(column),
        gas_per_air_constant=GasMix(gas="hydrogen").gas_constant_jpkgk / AIR_GAS_CONSTANT_JPKGK,
        gas_warmer_k=0.0,
        film_npm=0.0,
        slack_diameter_m=100.0,
        burst_diameter_m=6.6,
        drag_factor=1.0,
        leak_ratio_ps=0.0,
    )
    return Balloon(envelope, balance_of(drag), hanging_kg, np.ones(N_BANDS))


def banded(n: int) -> FloatArray:
    """Return climbs that are a tenth faster or slower in some bands, each in others."""
    return 1.0 + 0.1 * np.cos(1.7 * np.arange(N_BANDS) + np.arange(n)[:, None])


def swarm_of(
    column: AirColumn, balloon: Balloon, n: int, rng: np.random.Generator | None, up_sd: float = 0.0
) -> Swarm:
    """Return n draws with smooth errors of the air; without a generator n times the one without."""
    middles = column.middles_amsl_m
    knots = np.linspace(middles[0], middles[-1], 81)

    def drawn(mean: float, sd: float) -> FloatArray:
        return np.full(n, mean) if rng is None else mean + sd * rng.standard_normal(n)

    def errors(sd: float) -> NDArray[np.float32]:
        if rng is None:
            return np.zeros((n, len(middles)), np.float32)
        drawn = [np.interp(middles, knots, sd * rng.standard_normal(81)) for _ in range(n)]
        return np.array(drawn, dtype=np.float32)

    envelope = balloon.envelope
    return Swarm(
        gas_kg=drawn(envelope.gas_kg, 0.02 * envelope.gas_kg),
        drag_factor=drawn(envelope.drag_factor, 0.1),
        burst_diameter_m=drawn(envelope.burst_diameter_m, 0.3),
        gas_warmer_k=drawn(envelope.gas_warmer_k, 5.0),
        climb_factor=np.ones((n, N_BANDS)) if rng is None else banded(n),
        out_east_mps=errors(WIND_SD_MPS),
        out_north_mps=errors(WIND_SD_MPS),
        home_east_mps=errors(WIND_SD_MPS),  # which no climb asks
        home_north_mps=errors(WIND_SD_MPS),
        rise_mps=errors(up_sd),
        number=np.arange(n),
    )


def plain_air(
    plain: ModuleType, sounding: Sounding, column: AirColumn, swarm: Swarm, i: int
) -> Callable[[float], Any]:
    """Return one draw's air by height, straight from the levels of the sounding.

    The errors run on between the middles of the layers, as all else does: the layers of the fast
    climb are what is put to the test.
    """
    z = np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])
    middles = column.middles_amsl_m
    log_p, t = np.log(sounding.p_pa), sounding.t_k

    def air(amsl_m: float) -> Any:
        def value(heights: FloatArray, values: Any) -> float:
            return float(np.interp(amsl_m, heights, values))

        p_pa, t_k = math.exp(value(z, log_p)), value(z, t)
        return plain.AirHere(
            p_pa=p_pa,
            t_k=t_k,
            rho_kgpm3=p_pa / (AIR_GAS_CONSTANT_JPKGK * t_k),
            u_mps=value(z, sounding.u_mps) + value(middles, swarm.out_east_mps[i]),
            v_mps=value(z, sounding.v_mps) + value(middles, swarm.out_north_mps[i]),
            up_mps=value(middles, swarm.rise_mps[i]),
        )

    return air


def plain_balloon(plain: ModuleType, balloon: Balloon, swarm: Swarm, i: int, **more: Any) -> Any:
    envelope = balloon.envelope
    return plain.PlainBalloon(
        balloon_kg=envelope.balloon_kg,
        hanging_kg=balloon.hanging_kg,
        gas_kg=float(swarm.gas_kg[i]),
        gas_jpkgk=envelope.gas_per_air_constant * AIR_GAS_CONSTANT_JPKGK,
        warmer_k=float(swarm.gas_warmer_k[i]),
        drag_factor=float(swarm.drag_factor[i]),
        burst_m=float(swarm.burst_diameter_m[i]),
        shear_npm=envelope.film_npm,
        slack_m=envelope.slack_diameter_m,
        climb_factors=tuple(swarm.climb_factor[i].tolist()),
        **more,
    )


def metres_apart(tracks: Tracks, i: int, j: int, lat_deg: float, lon_deg: float) -> float:
    lat = LAT + math.degrees(tracks.north_rad[i, j])
    lon = LON + math.degrees(tracks.east_rad[i, j])
    return float(GEOD.inv(lon, lat, lon_deg, lat_deg)[2])


def misses(tracks: Tracks, i: int, slow: Any, until_s: float) -> tuple[list[float], list[float]]:
    """Return by how many metres height and place of a track miss the slow one's."""
    rows = [j for j in range(1, tracks.amsl_m.shape[1]) if j * CLOCK_S <= until_s]
    up, along = [], []
    for j in rows:
        t = j * CLOCK_S
        up.append(abs(float(tracks.amsl_m[i, j]) - slow.at(t, slow.amsl_m)))
        place = slow.at(t, slow.lat_deg), slow.at(t, slow.lon_deg)
        along.append(metres_apart(tracks, i, j, *place))
    return up, along


def one_slow(
    plain: ModuleType, sounding: Sounding, column: AirColumn, step_s: float, **more: Any
) -> tuple[Any, Swarm]:
    balloon = balloon_of(column)
    swarm = swarm_of(column, balloon, 1, None)
    until_s = more.pop("until_s", 1e9)
    slow = plain.plain_climb(
        plain_balloon(plain, balloon, swarm, 0, drag=CONSTANT_DRAG, **more),
        plain_air(plain, sounding, column, swarm, 0),
        (LAT, LON, START_M),
        step_s,
        lambda track: track.burst is not None or track.t_s[-1] >= until_s,
    )
    return slow, swarm
