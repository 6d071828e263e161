"""A loose flight: where it is level, the way as advised, the air and links where it is."""

import numpy as np
import pytest

from farglide.live.loosened.flight import LooseFlight


def test_its_way_is_the_one_that_is_advised(gliding: LooseFlight) -> None:
    steer, way = gliding.after.steer, gliding.way
    assert steer is not None
    assert way is not None
    assert gliding.aim is not None
    assert gliding.sortie.fields[gliding.aim].name == steer.field
    assert way.over_s == pytest.approx(steer.over_after_launch_s, abs=20.0)
    assert way.down_s == pytest.approx(steer.down_after_launch_s, abs=20.0)
    assert way.passage.amsl_m[0] == pytest.approx(gliding.place.amsl_m)
    assert gliding.now_t_s == gliding.launch.t_s + gliding.now_s


def test_what_is_tied_on_is_level_once_it_is_let_go(tied: LooseFlight) -> None:
    assert tied.level.t_s > tied.now_s + 5.0
    assert tied.level.amsl_m < tied.place.amsl_m - 300.0
    assert tied.way is not None
    assert tied.way.passage.after_s[0] == pytest.approx(tied.level.t_s)


def test_wind_and_airspeed_are_those_of_its_height(gliding: LooseFlight) -> None:
    layers = gliding.plain.air.column.layers
    k = int((gliding.place.amsl_m - layers.base_amsl_m) / layers.step_m)
    wind = gliding.wind(gliding.place.amsl_m)
    assert (wind.east_mps, wind.north_mps) == (layers.u_mps[0, k], layers.v_mps[0, k])
    assert gliding.tas_mps(10.0) == pytest.approx(10.0 * layers.tas_per_eas[k])
    assert gliding.tas_mps(10.0) > 30.0  # the air is thin up there


def test_margins_are_told_for_each_stand_and_link(gliding: LooseFlight) -> None:
    at = gliding.level
    found = gliding.margins_db(*(np.array([one, one]) for one in at[1:]))
    assert found.shape == (len(gliding.sortie.stands), len(gliding.sortie.links), 2)
    assert (found[..., 0] == found[..., 1]).all()


def test_the_landing_is_known_before_the_way_is_summed(tied: LooseFlight) -> None:
    assert tied.after.landing is None
    assert tied.landing is not None
    assert dict(tied.landing.lost_picture)["Harrowend strip"] is not None
