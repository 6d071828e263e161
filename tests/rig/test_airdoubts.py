"""Air doubts: how long between the two passages of a layer, and what the air does in the time."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import AirColumn
from farglide.air.sounding import Sounding
from farglide.rig.airdoubts import air_doubts_of, between_passages_s
from farglide.rig.doubts import pack_end
from farglide.rig.gear import column_of
from farglide.rig.profile import reference_profile
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def column(sortie: Sortie, demo_sounding: Sounding) -> AirColumn:
    return column_of(sortie, demo_sounding, Grain())


def with_wanted(sortie: Sortie, amsl_m: float) -> Sortie:
    return replace(sortie, wish=replace(sortie.wish, wanted_amsl_m=amsl_m))


def test_no_time_passes_at_the_turn_and_most_near_the_ground(
    sortie: Sortie, column: AirColumn
) -> None:
    elapsed_s = between_passages_s(sortie, column)
    above = column.edges_amsl_m[:-1] >= sortie.wish.wanted_amsl_m
    assert not elapsed_s[above].any()
    assert (np.diff(elapsed_s)[2:][~above[3:]] < 0.0).all()
    assert (elapsed_s >= 0.0).all()


def test_the_times_are_those_of_the_error_free_flight(sortie: Sortie, column: AirColumn) -> None:
    """The reference flight climbs to its burst and glides down at its best: each height twice."""
    burst_m = 29_900.0
    sortie = replace(sortie, packs=())
    elapsed_s = between_passages_s(with_wanted(sortie, 44_000.0), column)
    profile = reference_profile(sortie, column, 0.0)
    top = int(np.argmax(profile.amsl_m))
    assert profile.amsl_m[top] == pytest.approx(burst_m, abs=300.0)
    down = profile.amsl_m[top:][::-1], profile.after_launch_s[top:][::-1]
    for amsl_m in (2050.0, 10_050.0, 20_050.0, 28_050.0):
        up_s = np.interp(amsl_m, profile.amsl_m[: top + 1], profile.after_launch_s[: top + 1])
        wanted = np.interp(amsl_m, *down) - up_s
        found = np.interp(amsl_m, column.middles_amsl_m, elapsed_s)
        assert found == pytest.approx(wanted, rel=0.02, abs=60.0)


def test_who_would_outlast_the_packs_comes_down_sooner(sortie: Sortie, column: AirColumn) -> None:
    """Home by the best glide takes hours that no pack has: it is flown faster."""
    slow, fast = (
        between_passages_s(with_wanted(one, 28_000.0), column)
        for one in (replace(sortie, packs=()), sortie)
    )
    ends_s = pack_end(sortie, column, sortie.packs[0]).mean
    low = int(np.argmin(np.abs(column.middles_amsl_m - sortie.launch.amsl_m)))
    assert slow[low] > 1.5 * ends_s
    assert fast[low] == pytest.approx(ends_s, rel=0.01)  # climbed through at the launch
    assert (fast <= slow).all()


def test_a_balloon_that_bursts_lower_turns_there(sortie: Sortie, column: AirColumn) -> None:
    whole, higher = (
        between_passages_s(with_wanted(sortie, amsl_m), column) for amsl_m in (32_000.0, 44_000.0)
    )
    np.testing.assert_array_equal(whole, higher)
    assert not whole[column.middles_amsl_m > 30_500.0].any()


def test_the_air_s_doubts_are_the_column_s(sortie: Sortie, column: AirColumn) -> None:
    found = air_doubts_of(sortie, column)
    assert found.shallow_mps is column.doubt_by_layer.shallow_mps
    assert found.deep_mps is column.doubt_by_layer.deep_mps
    assert found.deep_along_mps is column.doubt_by_layer.deep_along_mps
    layers, speed_mps = column.layers, np.hypot(column.layers.u_mps[0], column.layers.v_mps[0])
    np.testing.assert_allclose(found.slower_mps, column.doubt_by_layer.slower_ratio * speed_mps)
    np.testing.assert_allclose(found.along.east * speed_mps, layers.u_mps[0], atol=1e-9)
    np.testing.assert_allclose(found.along.north * speed_mps, layers.v_mps[0], atol=1e-9)
    assert found.deep_depth_m is column.doubt_by_layer.deep_depth_m
    assert found.shallow_depth_m == column.doubt.shallow_depth_m
    assert found.vertical_mps == sortie.doubt.vertical_mps
    top = column.edges_amsl_m[:-1] >= sortie.wish.wanted_amsl_m
    assert (found.shallow_kept_ratio[top] == 1.0).all()
    assert (found.deep_kept_ratio[top] == 1.0).all()
    assert not found.grown_mps[top].any()
    assert (found.shallow_kept_ratio[:100] < 0.7).all()
    assert (found.grown_mps[:100] > 1.0).all()
