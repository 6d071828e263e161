"""The area as GeoJSON: points, longitude first, with their chances."""

import json
from types import ModuleType

from farglide.present.draw.maps.launch_layer import launch_geojson


def test_every_spot_is_a_point_with_its_chances(samples: ModuleType) -> None:
    area = samples.launch_area()
    text = launch_geojson(area)
    collection = json.loads(text)
    assert collection["type"] == "FeatureCollection"
    assert text.endswith("}\n")
    kinds: dict[str, int] = {}
    for feature in collection["features"]:
        assert feature["geometry"]["type"] == "Point"
        kind = feature["properties"]["kind"]
        kinds[kind] = kinds.get(kind, 0) + 1
    assert kinds == {
        "launch": 1, "best launch spot": 1, "field": 2, "stand": 1, "launch spot": 15,
    }  # fmt: skip
    first = collection["features"][0]
    assert first["geometry"]["coordinates"] == [108.0, -46.5]
    assert first["properties"]["home_ratio"] == 0.93
    spots = [one["properties"] for one in collection["features"][-15:]]
    assert [one["home_ratio"] for one in spots] == [round(one.home_ratio, 3) for one in area.spots]
    assert spots[0]["barred"] == "Gollan Wood"
