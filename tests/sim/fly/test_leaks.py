"""Climbs that leak, against the slow twin and by hand."""

import math
from types import ModuleType

import numpy as np
import pytest

from farglide.air.column import AirColumn, build_column
from farglide.air.doubt import WindDoubt
from farglide.air.sounding import Sounding
from farglide.sim.core.scene import Swarm
from farglide.sim.core.tracks import Burst, Tracks
from farglide.sim.fly.climb import Clock, climb

from .conftest import (
    CLOCK_S,
    START_M,
    balloon_of,
    misses,
    one_slow,
    scene_of,
    swarm_of,
)

LEAK = 0.00034  # share of the gas a second where the air is as dense as at sea level


FROM_S = 38.0 * 60.0


def leaked(
    column: AirColumn, ratio_ps: float, from_s: float, clock: Clock
) -> tuple[Tracks, Burst, Swarm]:
    balloon = balloon_of(column)
    envelope = balloon.envelope._replace(leak_ratio_ps=ratio_ps, leak_from_s=from_s)
    swarm = swarm_of(column, balloon, 1, None)
    tracks, burst = climb(scene_of(column), swarm, balloon._replace(envelope=envelope), clock)
    return tracks, burst, swarm


def test_a_late_leak_tops_out_where_it_should(demo_sounding: Sounding) -> None:
    # The demo balloon, let go at height 0, leaking from T+38: top 24.6 km at T+95.5, within 300 m
    # of that for 8.7 min, 4.44 m wide, no burst, then down. Source: constant-drag balloon computed
    # apart from this code; +-1 min, +-2 %.
    column = build_column(demo_sounding, 0.0, WindDoubt())
    tracks, burst, _ = leaked(column, LEAK, FROM_S, Clock(0.0, CLOCK_S, 3.0 * 3600.0))
    z = tracks.amsl_m[0]
    top = int(np.nanargmax(z))
    assert z[top] == pytest.approx(24_600.0, rel=0.01)
    assert top * CLOCK_S / 60.0 == pytest.approx(95.5, abs=1.0)
    near = np.flatnonzero(z > z[top] - 300.0)
    assert (near[-1] - near[0]) * CLOCK_S / 60.0 == pytest.approx(8.7, abs=1.0)
    assert np.nanmax(tracks.diameter_m[0]) == pytest.approx(4.44, abs=0.04)
    assert np.isnan(burst.after_launch_s[0])
    # Still tied on it is 18.1 km high at T+130.
    assert z[round(130 * 60 / CLOCK_S)] == pytest.approx(18_100.0, rel=0.02)


def test_a_late_leak_is_that_of_the_slow_twin(
    plain: ModuleType, demo_sounding: Sounding, column: AirColumn
) -> None:
    slow, swarm = one_slow(
        plain,
        demo_sounding,
        column,
        10.0,
        until_s=8000.0,
        leak_ratio_ps=LEAK,
        leak_from_s=FROM_S,
    )
    balloon = balloon_of(column)
    envelope = balloon.envelope._replace(leak_ratio_ps=LEAK, leak_from_s=FROM_S)
    tracks, _ = climb(
        scene_of(column),
        swarm,
        balloon._replace(envelope=envelope),
        Clock(START_M, CLOCK_S, 8000.0),
    )
    up, along = misses(tracks, 0, slow, 7990.0)
    assert max(slow.amsl_m) - slow.amsl_m[-1] > 2000.0  # topped out and sinking
    assert max(up) < 3.0
    assert max(along) < 10.0


def test_before_the_leak_begins_nothing_leaks(column: AirColumn) -> None:
    whole = climb(
        scene_of(column),
        swarm_of(column, balloon_of(column), 1, None),
        balloon_of(column),
        Clock(240.0, CLOCK_S, 2280.0),
    ).tracks
    balloon = balloon_of(column)
    envelope = balloon.envelope._replace(leak_ratio_ps=LEAK, leak_from_s=FROM_S)
    late = climb(
        scene_of(column),
        swarm_of(column, balloon, 1, None),
        balloon._replace(envelope=envelope),
        Clock(240.0, CLOCK_S, 2280.0),
    ).tracks
    np.testing.assert_allclose(late.amsl_m, whole.amsl_m, atol=8.0)


def test_a_leak_from_the_start_empties_at_the_stated_share(column: AirColumn) -> None:
    # 1 % of the gas left each second: lift is gone when 30 % of the gas is gone, -ln 0.7 = 36 s
    # after the launch near sea level.
    tracks, burst, _ = leaked(column, 0.01, 0.0, Clock(START_M, 5.0, 600.0))
    z = tracks.amsl_m[0]
    assert np.isnan(burst.after_launch_s[0])
    assert 5.0 * int(np.nanargmax(z)) == pytest.approx(-math.log(0.7) / 0.01, abs=5.0)
    assert np.isnan(z[-1])  # fallen out of the column
