"""Best path: what the straight way costs, against the demo's winds and against plain cases."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble, with_winds
from farglide.plan.home.bestpath import straight_loss_m

HOME, TANSY, BRACKMOOR, CORRAND = range(4)


def test_in_the_demo_it_costs_some_hundred_metres_of_60_km(plain: Ensemble, at_76: int) -> None:
    assert 20.0 < straight_loss_m(plain, at_76, HOME) < 2_000.0


def test_out_of_reach_it_is_unknown(plain: Ensemble) -> None:
    # home is shut from T+28.5 to T+62.5
    at_45 = round(45.0 * 60.0 / plain.climbs.tracks.step_s)
    assert np.isnan(straight_loss_m(plain, at_45, HOME))


def test_right_above_the_field_nothing_is_lost(plain: Ensemble, at_76: int) -> None:
    """There no direction is the one toward it."""
    layers, tracks = plain.air.scene.layers, plain.climbs.tracks
    still, stays = np.zeros_like(layers.u_mps), np.zeros_like(tracks.north_rad)
    scene = plain.air.scene._replace(layers=layers._replace(u_mps=still, v_mps=still))
    climbs = replace(plain.climbs, tracks=tracks._replace(north_rad=stays, east_rad=stays))
    above = replace(plain, air=replace(plain.air, scene=scene), climbs=climbs)
    assert straight_loss_m(above, at_76, HOME) == 0.0


def test_in_still_air_the_straight_way_is_the_best(plain: Ensemble, at_76: int) -> None:
    layers = plain.air.scene.layers
    still = np.zeros_like(layers.u_mps)
    scene = plain.air.scene._replace(layers=layers._replace(u_mps=still, v_mps=still.copy()))
    calm = with_winds(plain, replace(plain.air, scene=scene), plain.draws)
    # within what series and table are good for, of 250 km
    assert straight_loss_m(calm, at_76, HOME) == pytest.approx(0.0, abs=150.0)
