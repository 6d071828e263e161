"""The call card after the release: levels on the way down, sinks, and what is not known."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.live.asked.call import height_of_m
from farglide.live.free.moving import Moving
from farglide.live.loosened.call import call_after, falling
from farglide.live.loosened.flight import LooseFlight
from farglide.outlook.after import Stage


def test_levels_are_passed_downward_on_the_way_advised(gliding: LooseFlight) -> None:
    found = call_after(gliding)
    levels = [one.level for one in found.levels]
    assert levels == sorted(levels, reverse=True)
    assert levels[0] == (found.level - 1) // 100 * 100
    assert len(levels) == 6
    times = [found.after_launch_s, *(one.after_launch_s for one in found.levels)]
    assert (np.diff(times) > 0.0).all()
    assert found.levels[0].amsl_m == height_of_m(gliding.climbed, levels[0])
    assert gliding.after.steer is not None
    assert found.sinks_mps == pytest.approx(gliding.after.steer.sink_mps, rel=0.25)
    assert found.moves_as_seen
    unseen = call_after(replace(gliding, moves=None))
    assert unseen.moves_to_deg == gliding.after.steer.track_deg
    assert not unseen.moves_as_seen


def test_where_it_goes_is_told_as_its_fixes_have_it(gliding: LooseFlight) -> None:
    """And not as it was told to: a crew that steers elsewhere would tell air traffic wrong."""
    assert gliding.moves is not None
    away = replace(gliding, moves=Moving(135.0, 21.0))
    found = call_after(away)
    assert (found.moves_to_deg, found.moves_mps, found.moves_as_seen) == (135.0, 21.0, True)


def test_on_the_way_advised_nothing_else_comes_down(gliding: LooseFlight) -> None:
    found = call_after(gliding)
    assert found.comes_down == ()


def test_what_falls_slows_down_with_the_density(tied: LooseFlight) -> None:
    """Equal dynamic pressure: at a quarter of the speed the air is sixteen times as dense."""
    down = falling(tied, tied.now_s + 1000.0)
    sinks = -np.diff(down.amsl_m) / np.diff(down.after_s)
    layers = tied.plain.air.column.layers
    middles = tied.plain.air.column.middles_amsl_m
    dense = np.interp(down.amsl_m[:-1], middles, layers.rho_kgpm3)
    assert sinks * np.sqrt(dense) == pytest.approx(
        np.full(len(sinks), (sinks * np.sqrt(dense)).mean()), rel=0.03
    )
    assert down.after_s[-1] == pytest.approx(tied.now_s + 1000.0)
    found = call_after(tied)
    assert found.stage is Stage.TIED_ON
    assert found.moves_as_seen  # it drifts, and that is seen
    assert call_after(replace(tied, moves=None)).moves_mps is None
    assert found.sinks_mps is not None
    assert found.sinks_mps > 20.0


def test_of_what_nobody_steers_no_course_is_told(unseen: LooseFlight) -> None:
    found = call_after(unseen)
    assert (found.moves_to_deg, found.moves_mps) == (None, None)
    assert found.comes_down
    assert found.within_m > 1000.0
