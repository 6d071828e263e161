"""World: winds of one sounding everywhere; those of a forecast read where they are asked."""

import pickle
from pathlib import Path

import numpy as np
import pytest
from tests.around import around

from farglide.earth.state import Place, place_of
from farglide.errors import InputError
from farglide.packfile.grids import FORECAST, stored_grid, write_grid
from farglide.season.world import GridWinds, OneColumn

from .made import world


def test_one_sounding_serves_everywhere() -> None:
    winds = world().winds
    assert isinstance(winds, OneColumn)
    far = Place(lat_deg=10.0, lon_deg=20.0, amsl_m=0.0)
    assert winds(far, 0.0) is winds.sounding


def test_a_forecast_is_read_at_its_place_and_hour_and_can_be_sent(tmp_path: Path) -> None:
    winds = world().winds
    assert isinstance(winds, OneColumn)
    launch = world().flight.sortie.launch
    write_grid(around(winds.sounding, launch, 2.0, 1.0), tmp_path, FORECAST)
    stored = GridWinds(stored_grid(tmp_path, FORECAST))
    sent = pickle.loads(pickle.dumps(stored))
    here = place_of(launch)
    east = Place(lat_deg=launch.lat_deg, lon_deg=launch.lon_deg + 1.0, amsl_m=launch.amsl_m)
    k = int(np.argmax(stored(here, launch.t_s).gph_m > 10_000.0))
    near, far = (one.u_mps[k] for one in (stored(here, launch.t_s), stored(east, launch.t_s)))
    assert far - near == pytest.approx(2.0 * 111.2 * np.cos(np.radians(-46.5)) / 100.0, rel=1e-3)
    later = sent(here, launch.t_s + 3600.0)
    assert later.u_mps[k] - near == pytest.approx(1.0, rel=1e-3)
    assert later.around is not None
    assert later.members is None
    with pytest.raises(InputError):
        stored(Place(lat_deg=0.0, lon_deg=0.0, amsl_m=0.0), launch.t_s)
