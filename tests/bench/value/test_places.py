"""Places to try rules on: real neighbours, and sorties launched where they should be."""

from dataclasses import replace

import numpy as np
import pytest
from bench.value.places import drift_of, home_offset, home_sortie, pairs, soundings, up_wind
from bench.value.rules import taken_along, up_wind_of

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of


def test_soundings_reach_24_km_without_wide_gaps() -> None:
    known = soundings()
    assert len(known) > 200
    assert all(one.gph_m[-1] >= 24_000.0 and np.diff(one.gph_m).max() <= 4500.0 for one in known)


def test_neighbours_are_as_far_apart_as_said_and_regions_hang_together() -> None:
    found = pairs()
    assert len(found) > 200
    for pair in found:
        here, there = (
            Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=0.0)
            for one in (pair.truth, pair.forecast)
        )
        assert geodesic(here, there).distance_m / 1e3 == pytest.approx(pair.away_km)
        assert 130.0 <= pair.away_km <= 400.0
    assert 10 < len({pair.region for pair in found}) < 40


def test_a_launch_up_wind_lies_a_drift_from_home_and_takes_its_winds_along() -> None:
    pair = pairs()[0]
    sortie = home_sortie(pair)
    drift = drift_of(sortie, pair.forecast)
    away = up_wind(sortie, drift, 50_000.0)
    line = geodesic(place_of(away.launch), place_of(sortie.fields[0]))
    assert line.distance_m == pytest.approx(50_000.0)
    assert line.azimuth_deg == pytest.approx(drift.azimuth_deg, abs=1.0)
    there = taken_along(pair, away)
    apart = [
        geodesic(place_of(one.launch), Place(lat_deg=f.lat_deg, lon_deg=f.lon_deg, amsl_m=0.0))
        for one, f in ((sortie, pair.forecast), (away, there.forecast))
    ]
    assert apart[1].distance_m == pytest.approx(apart[0].distance_m, rel=0.02)
    assert home_offset(sortie) == (0.0, 0.0)


def test_a_drive_limits_how_far_up_wind() -> None:
    pair = pairs()[0]
    sortie = home_sortie(pair)
    drift = drift_of(sortie, pair.forecast)
    near = up_wind_of(sortie, drift, 20_000.0)
    whole = up_wind_of(sortie, drift, np.inf)
    home = place_of(sortie.fields[0])
    far = [geodesic(home, place_of(replace(one.launch))).distance_m for one in (near, whole)]
    assert far == pytest.approx([20_000.0, drift.distance_m])
