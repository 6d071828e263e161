"""Packs in a box: their end against the simple way, its doubt, and what is told of the cold."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import AirColumn
from farglide.errors import InputError
from farglide.power.packs import runs_for_s
from farglide.rig.cells import boxed_end
from farglide.rig.doubts import pack_end
from farglide.rig.profile import reference_profile
from farglide.sortie.gear import PackSpec
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

from ..conftest import BOX


def with_box(pack: PackSpec, **changes: object) -> PackSpec:
    assert pack.box is not None
    return replace(pack, box=replace(pack.box, **changes))  # type: ignore[arg-type]


def test_a_table_of_one_share_is_the_simple_way(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    flat = with_box(boxed_pack, table=((203.15, 0.65), (293.15, 0.65)))
    end = boxed_end(sortie, column, flat)
    assert end.after_launch_s == pytest.approx(runs_for_s(26.0, 0.65, 7.0) - 900.0, rel=1e-9)
    assert end.sd_s == pytest.approx(0.0, abs=1e-6)
    assert end.heat.left_ratio == pytest.approx(0.65, rel=1e-9)


def test_the_cells_follow_the_exponential_of_their_box(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    # 120 J/K behind 0.03 W/K: 4000 s. An obvious slow twin in steps of a second.
    profile = reference_profile(sortie, column, -900.0)
    t = np.arange(-900.0, 12_000.0, 1.0)
    z = np.interp(t, profile.after_launch_s, profile.amsl_m)
    layers = column.layers
    middles = layers.base_amsl_m + layers.step_m * (np.arange(len(layers.t_k)) + 0.5)
    air_k = np.interp(z, middles, layers.t_k)
    cells_k, used_j, end_s = 293.15, 0.0, math.nan
    rows_k, shares = np.array(BOX.table).T
    for i in range(len(t)):
        used_j += 7.0 / float(np.interp(cells_k, rows_k, shares))
        if used_j >= 26.0 * 3600.0:
            end_s = t[i]
            break
        cells_k += (0.7 - 0.03 * (cells_k - air_k[i])) / 120.0
    end = boxed_end(sortie, column, boxed_pack)
    assert end.after_launch_s == pytest.approx(end_s, abs=4.0)
    assert end.heat.coldest_k == pytest.approx(cells_k, abs=0.1)


def test_a_worse_box_ends_sooner_and_a_warmer_one_later(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    walls = [
        with_box(boxed_pack, insulation_wpk=Known(value=k)) for k in (0.02, 0.025, 0.03, 0.035)
    ]
    ends = [boxed_end(sortie, column, one).after_launch_s for one in walls]
    assert ends == sorted(ends, reverse=True)
    heats = [with_box(boxed_pack, own_heat_ratio=share) for share in (0.1, 0.2, 0.4)]
    ends = [boxed_end(sortie, column, one).after_launch_s for one in heats]
    assert ends == sorted(ends)
    # as the air at the launch: 13 C, and so 7 K less to lose
    cool = boxed_end(sortie, column, with_box(boxed_pack, start_k=None))
    assert cool.after_launch_s < boxed_end(sortie, column, boxed_pack).after_launch_s


def test_doubts_join_as_the_root_of_squares(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    by_table = boxed_end(sortie, column, with_box(boxed_pack, table_spread_ratio=0.05)).sd_s
    by_energy = boxed_end(
        sortie, column, replace(boxed_pack, energy_wh=Known(value=26.0, sd=1.3))
    ).sd_s
    assert by_table == pytest.approx(by_energy, rel=1e-9)
    # a twentieth of 10 206 s run at the share of the end, 0.63 over the mean 0.76
    assert 300.0 < by_table < 510.0
    loose = with_box(boxed_pack, insulation_wpk=Known(value=0.03, sd=0.003))
    by_wall = boxed_end(sortie, column, loose).sd_s
    assert 250.0 < by_wall < 500.0
    both = boxed_end(sortie, column, with_box(loose, table_spread_ratio=0.05)).sd_s
    assert both == pytest.approx(math.hypot(by_table, by_wall), rel=1e-9)


def test_colder_than_the_table_is_refused_with_the_way_out(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    thin = with_box(boxed_pack, insulation_wpk=Known(value=0.3))
    with pytest.raises(InputError, match=r"packs\[all\] cells is colder than −30 °C from T\+"):
        boxed_end(sortie, column, thin)
    with pytest.raises(InputError, match="Measure the pack that cold and add a row, or insulate"):
        pack_end(sortie, column, thin)
    # a doubt that would draw such a wall widens the spread, but refuses nothing
    edge = with_box(
        boxed_pack, insulation_wpk=Known(value=0.03, sd=0.03), table=((249.15, 0.55), (293.15, 1.0))
    )
    assert boxed_end(sortie, column, edge).sd_s > 1000.0


def test_a_pack_without_share_and_box_is_refused(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    with pytest.raises(InputError, match="Give the pack a cold_ratio or a box"):
        pack_end(sortie, column, replace(boxed_pack, box=None))


def test_waiting_on_the_ground_costs_energy(
    sortie: Sortie, column: AirColumn, boxed_pack: PackSpec
) -> None:
    now, late = (
        boxed_end(sortie, column, boxed_pack, wait_s).after_launch_s for wait_s in (0.0, 1200.0)
    )
    # 20 min are drawn warm, at a share near 1; what they cost is missing cold, at a share near 0.55
    assert 500.0 < now - late < 700.0
