"""Where a payload may come down, for other programs."""

import json
from dataclasses import replace

import pytest

from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.present.draw.maps.landing_layer import landing_geojson

from ...payload_sample import payload_sample


def test_middle_ring_and_burst_are_told() -> None:
    land, ring, burst = json.loads(landing_geojson(payload_sample()))["features"]
    assert land["geometry"]["coordinates"] == [-64.803, -25.093]
    assert burst["properties"]["kind"] == "burst"
    (corners,) = ring["geometry"]["coordinates"]
    assert corners[0] == corners[-1]
    middle = Place(lat_deg=-25.093, lon_deg=-64.803, amsl_m=0.0)
    for lon_deg, lat_deg in corners:
        there = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
        assert geodesic(middle, there).distance_m == pytest.approx(23_200.0, rel=0.006)


def test_longitudes_stay_on_the_map() -> None:
    made = payload_sample()
    far = replace(made, landing=replace(made.landing, lon_deg=179.95))
    (corners,) = json.loads(landing_geojson(far))["features"][1]["geometry"]["coordinates"]
    assert all(-180.0 <= lon_deg < 180.0 for lon_deg, _ in corners)
