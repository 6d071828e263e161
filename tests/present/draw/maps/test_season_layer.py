"""The layer of a comparison: each spot once, at its best, with its chance at each launch time."""

import json
from dataclasses import replace

from tests.season.made import CELL, OUTLOOK, T_S

from farglide.present.draw.maps.season_layer import season_geojson


def test_each_spot_is_a_point_with_its_best_launch() -> None:
    later = replace(CELL, launch_t_s=T_S + 7200.0, home_ratio=0.5)
    even = replace(CELL, spot=1, home_ratio=0.7)
    layer = json.loads(season_geojson(replace(OUTLOOK, cells=(CELL, even, later))))
    home, other = layer["features"]
    assert home["geometry"] == {"type": "Point", "coordinates": [108.0, -46.5]}
    says = home["properties"]
    assert (says["name"], says["best_launch"]) == ("Home strip", "2027-01-23T10:26Z")
    assert says["chance_by_launch"] == {"2027-01-23T10:26Z": 0.93, "2027-01-23T12:26Z": 0.5}
    assert other["properties"]["home_ratio"] == 0.7
    assert json.loads(season_geojson(replace(OUTLOOK, cells=())))["features"] == []
