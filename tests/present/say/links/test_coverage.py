"""Coverage in words, as a layer and as a picture: what stands where the values say."""

import json
import math
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from numpy.typing import NDArray
from pyproj import Geod
from rasterio.io import MemoryFile

from farglide.atlas.fields import Field
from farglide.atlas.terrain import Terrain
from farglide.compute import on_threads
from farglide.earth.box import Box
from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_circle
from farglide.outlook.coverage import (
    UNKNOWN,
    Coverage,
    CoverageAsked,
    Ray,
)
from farglide.plan.links.coverage import cover
from farglide.present.draw.chart.patterns import pattern_ink
from farglide.present.draw.maps.coverage_layer import _halves, coverage_geojson
from farglide.present.draw.maps.coverage_map import coverage_files, coverage_sentence
from farglide.present.say.links.coverage import (
    coverage_lines,
    ground_words,
    level_words,
    step_words,
    title,
)
from farglide.sim.hear.groundcircle import Level
from farglide.sortie.spec import Sortie
from farglide.sources.elevation.elevation import read_elevation

CUT = Box(south_deg=36.827, west_deg=-118.901, north_deg=37.0245, east_deg=-118.7035)
MAP_PX, LEFT_PX = 960, 20


def asked(**change: Any) -> CoverageAsked:
    base = CoverageAsked(
        link="picture", stand="Wether Knap", level=Level(agl_m=300.0), radius_m=40e3, n_cells=160
    )
    return replace(base, **change)


@pytest.fixture(scope="module")
def knap(demo_flight: FlightFile) -> Coverage:
    sortie = demo_flight.sortie
    found = cover(sortie, asked(less_db=6.0), None)
    terrain = gather_circle(sortie, found.circle)
    return cover(sortie, asked(less_db=6.0), terrain, on_threads())


@pytest.fixture(scope="module")
def mirrored(authorities: Path) -> Terrain:
    """Return real mountains, mirrored side by side to 130 km by 150 km."""
    real = read_elevation([authorities / "sierra_nevada_srtm3.tif"], CUT)
    pair = np.hstack([real.heights_amsl_m, real.heights_amsl_m[:, ::-1]])
    block = np.vstack([pair, pair[::-1]])
    heights = np.tile(block, (4, 4))
    return replace(
        real,
        heights_amsl_m=heights,
        north_deg=36.92 + 0.5 * heights.shape[0] * real.step_lat_deg,
        west_deg=-118.8 - 0.5 * heights.shape[1] * real.step_lon_deg,
    )


def in_the_mountains(sortie: Sortie) -> Sortie:
    stand = replace(sortie.stands[1], lat_deg=36.92, lon_deg=-118.80, amsl_m=0.0)
    return replace(sortie, stands=(stand,))


def moved(sortie: Sortie, lat_deg: float, lon_deg: float) -> Sortie:
    """Return a sortie whose one stand is elsewhere, with a field north and one east of it."""
    stand = replace(sortie.stands[0], lat_deg=lat_deg, lon_deg=lon_deg)
    here = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    fields = tuple(
        Field(name=name, lat_deg=at.lat_deg, lon_deg=at.lon_deg, amsl_m=240.0)
        for name, at in (
            ("Norther", destination(here, 0.0, 20e3)), ("Easter", destination(here, 90.0, 20e3)),
            ("Far", destination(here, 45.0, 90e3)),
        )
    )  # fmt: skip
    return replace(sortie, stands=(stand,), fields=fields)


# the layer


def twice_area(ring: list[list[float]]) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))


def check_layer(found: Coverage) -> dict[str, Any]:
    """Check rings, and every tenth cell's middle against the polygon of its step alone."""
    document = json.loads(coverage_geojson(found))
    assert document["type"] == "FeatureCollection"
    stand, *features = document["features"]
    assert stand["properties"] == {"kind": "stand", "name": found.stand.name}
    lats, lons = found.circle.points_deg
    picked = np.random.default_rng(3).integers(0, len(lats), (150, 2))
    names = [step_words(step) for step in range(4)]
    n_in = {feature["properties"]["name"]: np.zeros(150, int) for feature in features}
    for feature in features:
        assert feature["geometry"]["type"] == "MultiPolygon"
        for polygon in feature["geometry"]["coordinates"]:
            assert twice_area(polygon[0]) > 0.0
            assert all(twice_area(hole) < 0.0 for hole in polygon[1:])
            for ring in polygon:
                assert ring[0] == ring[-1]
                assert len(ring) >= 5
                assert all(-180.0 <= lon <= 180.0 and -90.0 <= lat <= 90.0 for lon, lat in ring)
                # none crosses the 180th meridian: neighbours are near each other
                assert max(abs(a[0] - b[0]) for a, b in pairwise(ring)) < 90.0
            for k, (i, j) in enumerate(picked):
                lon_deg = (lons[i, j] + 180.0) % 360.0 - 180.0
                n_in[feature["properties"]["name"]][k] += inside(polygon, lon_deg, lats[i, j])
    for k, (i, j) in enumerate(picked):
        step = int(found.steps[i, j])
        told = {name for name, counts in n_in.items() if counts[k]}
        assert told == (set() if step == UNKNOWN else {names[step]})
    return document


def inside(polygon: list[list[list[float]]], lon: float, lat: float) -> bool:
    crossed = sum(
        a[0] == b[0] and a[0] > lon and min(a[1], b[1]) < lat < max(a[1], b[1])
        for ring in polygon
        for a, b in pairwise(ring)
    )
    return crossed % 2 == 1


def test_the_layer_of_the_demo(knap: Coverage) -> None:
    document = check_layer(knap)
    rows = [feature["properties"] for feature in document["features"][1:]]
    assert [row["name"] for row in rows] == [
        "10 dB margin or more", "3 to 10 dB margin", "0 to 3 dB margin", "lost",
    ]  # fmt: skip
    assert [(row["margin_from_db"], row["margin_to_db"]) for row in rows] == [
        (10.0, None), (3.0, 10.0), (0.0, 3.0), (None, 0.0),
    ]  # fmt: skip
    for row in rows:
        assert (row["link"], row["stand"], row["agl_m"]) == ("picture", "Wether Knap", 300.0)
        assert (row["less_db"], row["radius_m"]) == (6.0, 40e3)
        assert row["ground"] == "elevation amber-evening-ground.tif"
        assert "amsl_m" not in row


@pytest.mark.parametrize(("lat_deg", "lon_deg"), [(60.0, 179.9), (-30.0, -179.95), (10.0, 180.0)])
def test_the_layer_is_cut_at_the_180th_meridian(
    demo_flight: FlightFile, lat_deg: float, lon_deg: float
) -> None:
    sortie = moved(demo_flight.sortie, lat_deg, lon_deg)
    wanted = asked(stand="Harrowend strip", level=Level(amsl_m=26e3), n_cells=61)
    found = cover(sortie, wanted, None)
    document = check_layer(found)
    area_m2 = 0.0
    for feature in document["features"][1:]:
        assert feature["properties"]["amsl_m"] == 26e3
        for polygon in feature["geometry"]["coordinates"]:
            for ring in polygon:
                area, _ = Geod(ellps="WGS84").polygon_area_perimeter(*zip(*ring, strict=True))
                area_m2 += area
    assert area_m2 == pytest.approx(math.pi * 40e3**2, rel=0.01)


@pytest.mark.parametrize("off_deg", [-2e-6, 0.0, 2e-6, 0.3])
@pytest.mark.parametrize("side_deg", [180.0, -180.0])
def test_columns_beside_the_180th_meridian_have_a_width(off_deg: float, side_deg: float) -> None:
    edges = side_deg + off_deg + np.arange(-3.0, 5.0)
    halves = list(_halves(edges))
    assert len(halves) == 2
    (first, last, west), (again, end, east) = halves
    assert (first, end) == (0, 7)
    # only a column that lies on both sides comes twice
    assert last - again == (1 if off_deg == 0.3 else 0)
    assert (west[-1], east[0]) == (180.0, -180.0)
    for lons, n in ((west, last - first), (east, end - again)):
        assert len(lons) == n + 1
        assert min(np.diff(lons)) > 0.1
    assert sum(lons[-1] - lons[0] for lons in (west, east)) == pytest.approx(7.0, abs=1e-5)


@pytest.mark.slow
def test_mountains_make_a_small_file(demo_flight: FlightFile, mirrored: Terrain) -> None:
    """400 x 400 cells over 60 km of rugged ground: 2 MB allowed, 0.7 MB taken at most."""
    sortie = in_the_mountains(demo_flight.sortie)
    for agl_m in (100.0, 1000.0):
        wanted = asked(level=Level(agl_m=agl_m), radius_m=60e3, n_cells=400)
        found = cover(sortie, wanted, mirrored, on_threads())
        assert len(set(found.steps.ravel().tolist())) == 5
        text = coverage_geojson(found)
        assert 20_000 < len(text.encode()) < 700_000
        check_layer(found)


# the words


def test_words_of_steps_and_heights(knap: Coverage) -> None:
    assert step_words(2) == "3 to 10 dB margin"
    assert level_words(None, 1500.0) == "1\u2009500 m above the ground"
    wanted = "picture at Wether Knap, glider 300 m above the ground, 6.0 dB taken off"
    assert title(knap) == wanted
    plain = replace(knap, asked=asked(level=Level(amsl_m=26e3)))
    assert title(plain) == "picture at Wether Knap, glider 26.0 km above sea level"
    assert ground_words(knap) == "Ground: elevation amber-evening-ground.tif."
    flat = replace(knap, ground="", flat_amsl_m=240.0)
    assert ground_words(flat).startswith("Flat ground assumed, 240 m above sea level")
    assert "higher than any ground" in ground_words(replace(knap, is_high=True))


def test_a_line_for_each_direction(knap: Coverage) -> None:
    nan = math.nan
    rows = (
        (0.0, 31_666.0, "unknown", 3.0, None), (0.0, 60e3, "edge", 1.9, None),
        (8e3, 44e3, "range", 0.1, None), (0.0, 3140.0, "ground", 4.0, 22_450.0),
        (nan, nan, "antenna", nan, None), (nan, nan, "ground", nan, None),
        (0.0, 500.0, "range", 0.1, None), (0.0, 500.0, "range", 0.1, None),
    )  # fmt: skip
    rays = tuple(
        Ray(bearing_deg=45.0 * i, from_m=a, to_m=b, end=end, left_db=left, again_m=again)
        for i, (a, b, end, left, again) in enumerate(rows)
    )
    lines = coverage_lines(replace(knap, rays=rays))
    table = [" ".join(line.split()) for line in lines[3:9]]
    assert table == [
        "north to 31.7 km the ground beyond is not in the files",
        "north-east to 60.0 km edge of the area, with 1 dB margin there",
        "east 8.0 to 44.0 km the distance",
        "south-east to 3.1 km the ground; it holds again in places, up to 22.4 km",
        "south nowhere the pattern of the antennas",
        "south-west nowhere the ground",
    ]
    text = " ".join(lines)
    assert "2.0 dB either way, with a chance of 7 in 10" in text
    doubtful = " ".join(coverage_lines(replace(knap, sd_db=4.6)))
    assert "4.6 dB either way, with a chance of 7 in 10" in doubtful
    assert "Nor are they a licence" in text
    assert all(len(line) <= 100 for line in lines)
    assert "south nowhere" in coverage_sentence(replace(knap, rays=rays))


def test_the_hole_overhead_is_explained_with_its_width_and_angle(knap: Coverage) -> None:
    high = replace(knap, asked=asked(level=Level(amsl_m=knap.mast.amsl_m + 10_000.0)))
    hole = tuple(replace(ray, from_m=3640.0, begin="antenna") for ray in knap.rays)
    told = " ".join(coverage_lines(replace(high, rays=hole)))
    assert (
        "The hole in the middle: up to 3.6 km from the stand the glider stands more than 70° up, "
        "where the pattern of the antennas leaves too little. Hear it from a stand farther aside."
    ) in told
    svg = str(coverage_files(replace(high, rays=hole))["coverage.svg"])
    assert "The hole in the middle: up to 3.6 km" in svg
    for begin, from_m in (("ground", 3640.0), ("", 0.0)):
        rays = tuple(replace(ray, from_m=from_m, begin=begin) for ray in knap.rays)
        assert "The hole" not in " ".join(coverage_lines(replace(high, rays=rays)))


# the picture


def picture(found: Coverage) -> NDArray[np.uint8]:
    """Return the greys of the picture, as another library reads it."""
    data = coverage_files(found)["coverage.png"]
    assert isinstance(data, bytes)
    with MemoryFile(data) as file, file.open(driver="PNG") as dataset:
        assert dataset.count == 1
        return np.asarray(dataset.read(1))


def top_px(grey: NDArray[np.uint8]) -> int:
    """Return the row on which the map begins: the first with a line from edge to edge."""
    dark = (grey[:, LEFT_PX + 6 : LEFT_PX + MAP_PX - 6] < 128).mean(axis=1)
    return int(np.flatnonzero(dark > 0.95)[0]) - 1


pytestmark = pytest.mark.filterwarnings("ignore::rasterio.errors.NotGeoreferencedWarning")


@pytest.mark.slow
def test_steps_are_told_apart_in_grey(knap: Coverage) -> None:
    """The share of ink is that of the step's pattern, where neither hill nor mark is."""
    bare = replace(knap, relief=None, fields=(), lines=())
    ink = (255.0 - picture(bare)) / 255.0
    top = top_px(picture(bare))
    shares = {}
    n = knap.circle.n_rows
    cell = MAP_PX // n
    for step in range(UNKNOWN, 4):
        # squares of cells that are all of one step, well inside it
        found = [
            ink[top + cell * i : top + cell * (i + 10), LEFT_PX + cell * j :][:, : cell * 10]
            for i in range(0, n - 12, 3)
            for j in range(0, n - 12, 3)
            if (knap.steps[i - 1 : i + 12, j - 1 : j + 12] == step).all() and i and j
            and knap.circle.inside[i : i + 10, j : j + 10].all()
            and not (abs(i + 5 - n // 2) < 16 and abs(j + 5 - n // 2) < 40)
        ]  # fmt: skip
        if found:
            shares[step] = float(np.median([one.mean() for one in found]))
    names = {UNKNOWN: "crosses", 1: "dots", 2: "lines", 3: "dense"}
    wanted = {k: float(pattern_ink(v, 480, 480, 2).mean()) / 255.0 for k, v in names.items()}
    assert len(shares) >= 4
    for step, share in shares.items():
        assert share == pytest.approx(wanted.get(step, 0.0), abs=0.01), step
    told = [shares[step] for step in sorted(set(shares) - {UNKNOWN})]
    assert all(more - less > 0.07 for less, more in pairwise(told))


def test_hills_are_shaded_below_the_steps(knap: Coverage) -> None:
    """Where the link is lost nothing else stands on the paper: there the ground is grey."""
    shaded, flat = (
        picture(replace(knap, fields=(), lines=(), relief=relief)) for relief in (knap.relief, None)
    )
    greyer = flat.astype(int) - shaded
    assert knap.relief is not None
    assert ((greyer > 20) & (greyer < 110)).mean() > 0.005
    assert (greyer < -20).mean() < 0.01  # only the heights' labels are on paper of their own


def test_north_is_up_and_the_bar_is_as_long_as_it_says(demo_flight: FlightFile) -> None:
    sortie = moved(demo_flight.sortie, 10.0, 179.95)
    sortie = replace(sortie, barriers=())
    wanted = asked(stand="Harrowend strip", level=Level(amsl_m=26e3), less_db=60.0)
    found = cover(sortie, wanted, None)
    assert (found.steps[found.circle.inside] == 0).all()  # lost everywhere: paper
    dark = picture(found) < 90
    top = top_px(picture(found))
    half = MAP_PX // 2
    away = round(20e3 / 80e3 * MAP_PX)
    for name, dx, dy in (("norther", 0, -away), ("easter", away, 0)):
        x, y = LEFT_PX + half + dx, top + half + dy
        assert dark[y - 3 : y + 4, x - 3 : x + 4].mean() > 0.8, name  # the dot, to a pixel
        around = dark[y - 60 : y + 61, x - 90 : x + 91].copy()
        around[52:69, 82:99] = False
        assert around.mean() > 0.01, name  # its figure and name
    x, y = LEFT_PX + half, top + half
    assert dark[y - 7 : y + 8, x - 7 : x + 8].all()  # the stand of the car: solid
    # the bar: 20 km of 80 km
    row = dark[top + MAP_PX - 22, LEFT_PX:]
    assert row[22 : 20 + 238].all()
    assert not row[20 + 246 : 20 + 300].any()


@pytest.mark.slow
def test_names_of_any_kind_and_length_fit(knap: Coverage) -> None:
    names = ["x" * 300, "\u202e水 <b>&", "Ö" * 40] + [f"field {n}" for n in range(12)]
    fields = tuple(
        Field(name=name, lat_deg=-46.6 + 0.002 * n, lon_deg=108.2, amsl_m=240.0)
        for n, name in enumerate(names)
    )
    many = replace(knap, fields=fields, name="y" * 500)
    few = replace(knap, fields=())
    grey, less = picture(many), picture(few)
    assert grey.shape[1] == less.shape[1] == 1000
    root = ET.fromstring(str(coverage_files(many)["coverage.svg"]))
    said = " ".join(one.text or "" for one in root.iter("{http://www.w3.org/2000/svg}text"))
    for name in ("水 <b>&", "field 0", "field 11"):
        assert name in said  # beside its dot, or below as one without room
    assert "\u202e" not in said


def test_both_files_say_the_same(knap: Coverage) -> None:
    files = coverage_files(knap)
    assert sorted(files) == ["coverage.png", "coverage.svg"]
    png, svg = files["coverage.png"], str(files["coverage.svg"])
    assert isinstance(png, bytes)
    assert coverage_sentence(knap).encode("utf-8") in png
    root = ET.fromstring(svg)
    assert root.get("aria-label") == coverage_sentence(knap)
    images = list(root.iter("{http://www.w3.org/2000/svg}image"))
    assert len(images) == 2  # the ground, and the steps upon it
    assert all(one.get("href", "").startswith("data:image/png;base64,") for one in images)
    said = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
    for words in (*map(step_words, range(4)), "Harrowend strip", "Wether Knap"):
        assert words in said
    assert svg.count('data-is="key"') == 5
    # map and key are in one paint, that of links
    paints = re.findall(r'<pattern id="[a-z]+-link-coverage".*?class="[sf]-([a-z]+)"', svg)
    assert paints == ["link"] * 4
    assert svg.count("<pattern ") == 4
    assert files == coverage_files(knap)
