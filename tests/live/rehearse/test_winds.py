"""Winds of a rehearsal: turned, weakened and strengthened where a surprise says so, else kept."""

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.winds import changed_column, landing_errors_mps, told_winds
from farglide.rig.gear import column_of


def test_no_change_keeps_every_wind(low: Ensemble) -> None:
    column = low.air.column
    found = changed_column(column, Changes())
    np.testing.assert_allclose(found.layers.u_mps, column.layers.u_mps, atol=1e-12)
    np.testing.assert_allclose(found.layers.v_mps, column.layers.v_mps, atol=1e-12)


def test_a_turn_to_the_right_has_them_come_from_farther_right(low: Ensemble) -> None:
    column = low.air.column
    found = changed_column(column, Changes(turn_deg=22.0)).layers
    km = column.middles_amsl_m / 1e3
    from_deg = [
        np.degrees(np.arctan2(-one.u_mps[0], -one.v_mps[0])) for one in (column.layers, found)
    ]
    turned = np.mod(from_deg[1] - from_deg[0] + 180.0, 360.0) - 180.0
    inside, outside = (km > 5.0) & (km < 12.0), (km < 4.0) | (km > 13.0)
    np.testing.assert_allclose(turned[inside], 22.0, atol=1e-6)
    np.testing.assert_allclose(turned[outside], 0.0, atol=1e-6)
    assert turned[np.argmin(np.abs(km - 4.5))] == pytest.approx(11.0, abs=1.2)
    speed = np.hypot(column.layers.u_mps, column.layers.v_mps)
    np.testing.assert_allclose(np.hypot(found.u_mps, found.v_mps), speed, atol=1e-9)


def test_vector_differences_of_the_turn(low: Ensemble) -> None:
    # Figures computed elsewhere: 8.1, 11.6 and 12.2 m/s at 7, 9 and 11 km.
    column = low.air.column
    found = changed_column(column, Changes(turn_deg=22.0)).layers
    off = np.hypot(found.u_mps - column.layers.u_mps, found.v_mps - column.layers.v_mps)[0]
    at = np.interp([7000.0, 9000.0, 11_000.0], column.middles_amsl_m, off)
    assert at == pytest.approx([8.1, 11.6, 12.2], abs=0.1)


def test_weaker_and_stronger_winds_keep_their_direction(low: Ensemble) -> None:
    column = low.air.column
    found = changed_column(column, Changes(weaker_mps=3.5, jet_mps=9.0)).layers
    km = column.middles_amsl_m / 1e3
    before = np.hypot(column.layers.u_mps, column.layers.v_mps)[0]
    after = np.hypot(found.u_mps, found.v_mps)[0]
    top = km > 23.0
    np.testing.assert_allclose(after[top], np.maximum(before[top] - 3.5, 0.0), atol=1e-9)
    jet = (km > 8.0) & (km < 12.0)
    np.testing.assert_allclose(after[jet], before[jet] + 9.0, atol=1e-9)
    cross = found.u_mps * column.layers.v_mps - found.v_mps * column.layers.u_mps
    np.testing.assert_allclose(cross, 0.0, atol=1e-9)


def test_older_winds_are_told_and_doubted_more(low: Ensemble, demo_sounding: Sounding) -> None:
    old = told_winds(demo_sounding, Changes(winds_older_s=14.0 * 3600.0))
    assert demo_sounding.t_s - old.t_s == 50_400.0
    assert told_winds(demo_sounding, Changes()).t_s == demo_sounding.t_s
    fresh, doubted = (
        column_of(low.sortie, one, low.grain).doubt_by_layer.deep_mps
        for one in (demo_sounding, old)
    )
    low_down = low.air.column.middles_amsl_m < 25_000.0
    assert (doubted > 1.5 * fresh)[low_down].all()


def test_at_the_landing_only_the_lowest_winds_turn(low: Ensemble) -> None:
    column = low.air.column
    east, north = landing_errors_mps(column, 240.0, 180.0)
    lowest = column.middles_amsl_m < 740.0
    np.testing.assert_allclose(east[lowest], -2.0 * column.layers.u_mps[0][lowest], atol=1e-9)
    np.testing.assert_allclose(north[lowest], -2.0 * column.layers.v_mps[0][lowest], atol=1e-9)
    assert not east[~lowest].any()
    assert not north[~lowest].any()


def test_winds_told_end_where_a_surprise_has_them_end(demo_sounding: Sounding) -> None:
    told = told_winds(demo_sounding, Changes(winds_end_amsl_m=20_000.0))
    n = len(told.gph_m)
    assert told.gph_m[-1] <= 20_000.0 < demo_sounding.gph_m[n]
    np.testing.assert_array_equal(told.u_mps, demo_sounding.u_mps[:n])
    assert told.t_s == demo_sounding.t_s
