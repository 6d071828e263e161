"""Ways over an outline: against the geodesic, and across the 180th meridian."""

import numpy as np

from farglide.atlas.behind import is_crossed
from farglide.atlas.crossing import crossings_m
from farglide.atlas.outline import Outline
from farglide.earth.state import Place

HOME = (-46.5, 108.0)
LAKE = ((-46.3, 107.6), (-46.2, 107.9), (-46.1, 107.7), (-46.2, 107.5))


def test_the_way_crosses_where_the_geodesic_does() -> None:
    """But for ways that graze a corner, where the two lines run up to 2 km apart."""
    rng, outline = np.random.default_rng(5), Outline(points=LAKE)
    lat, lon = rng.uniform(-47.5, -45.5, 300), rng.uniform(106.5, 109.5, 300)
    home = Place(lat_deg=HOME[0], lon_deg=HOME[1], amsl_m=0.0)
    geodesics = [
        bool(crossings_m(outline, home, Place(lat_deg=float(a), lon_deg=float(b), amsl_m=0.0)))
        for a, b in zip(lat, lon, strict=True)
    ]
    found = is_crossed(outline, HOME, lat, lon)
    assert found.any()
    assert (found != geodesics).sum() <= 3


def test_the_180th_meridian_is_no_wall() -> None:
    wall = Outline(points=((-1.0, 179.9), (1.0, 179.9), (1.0, -179.9), (-1.0, -179.9)))
    lat, lon = np.zeros(3), np.array([-179.5, 179.8, 179.2])
    assert is_crossed(wall, (0.0, 179.5), lat, lon).tolist() == [True, False, False]
