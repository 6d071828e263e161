"""The fields command, as a person runs it: words, sketch, layers, packs and refusals."""

import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from farglide.atlas.barriers import Places
from farglide.cli import compare, coverage, links, review
from farglide.cli.outfiles import WRITTEN
from farglide.earth.state import Place
from farglide.flightfile.flightfile import read_flight_file
from farglide.present.draw.maps import coverage_map, place_map, search_layer
from farglide.present.draw.maps.layers import WRITERS, geojson_text
from farglide.sources.places.places import read_places

from .conftest import Said

ASSETS = Path(str(files("farglide.flightfile") / "assets"))
NEAR = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0)


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return a copy of the demo whose wood stands in a file of places."""
    folder = tmp_path / "flight"
    folder.mkdir()
    for name in ("amber-evening-winds.csv", "amber-evening-ground.tif"):
        shutil.copy(ASSETS / name, folder / name)
    demo = ASSETS / "amber-evening.toml"
    text = demo.read_text(encoding="utf-8")
    first, last = text.index("[[barriers]]"), text.index("\n[doubt]")
    text = f'{text[:first]}[places]\nfiles = ["area.json"]\n\n{text[last:]}'
    (folder / "mine.toml").write_text(text, encoding="utf-8")
    wood = Places(barriers=read_flight_file(demo).sortie.barriers)
    (folder / "area.json").write_text(geojson_text(wood), encoding="utf-8")
    return folder / "mine.toml"


def test_words_sketch_and_layers(
    said: Said,
    flight: Path,
    tmp_path: Path,
) -> None:
    out = tmp_path / "out"
    code, text, _ = said("fields", flight, "--out", out)
    assert code == 0
    assert "Gollan Wood, closed forest, on the way to Tansy Lea" in text
    assert sorted(one.name for one in out.iterdir()) == [
        "places.geojson", "places.gpx", "places.kml", "places.png", "places.svg",
    ]  # fmt: skip
    wanted = read_flight_file(ASSETS / "amber-evening.toml").sortie
    for name in ("places.geojson", "places.kml", "places.gpx"):
        back = read_places([out / name], NEAR, lambda *_: 0.0)
        assert back.fields == wanted.fields
        assert back.barriers == wanted.barriers


def test_a_pack_holds_the_places(
    said: Said,
    flight: Path,
    tmp_path: Path,
) -> None:
    pack = tmp_path / "pack"
    code, text, _ = said("gather", flight, "--pack", pack)
    assert code == 0
    assert "area.json, places" in text
    shutil.rmtree(flight.parent)
    code, text, _ = said("fields", "--pack", pack)
    assert code == 0
    assert "Gollan Wood, closed forest, on the way to Tansy Lea" in text


def test_refusals(said: Said, flight: Path) -> None:
    (flight.parent / "area.json").write_text("[", encoding="utf-8")
    for arguments in (
        ("fields", flight),
        ("gather", flight, "--pack", flight.parent / "pack"),
        ("plan", flight),
    ):
        code, text, err = said(*arguments)
        assert (code, text) == (2, "")
        assert "area.json" in err
        assert "is no JSON" in err
    code, _, err = said("fields", flight, "--out", flight)
    assert code == 2
    assert "This is a file. Choose another name." in err


def test_places_drawn_by_hand_are_not_written_over(said: Said, flight: Path) -> None:
    mine = flight.parent / "places.geojson"
    (flight.parent / "area.json").rename(mine)
    text = flight.read_text(encoding="utf-8").replace("area.json", "places.geojson")
    flight.write_text(text, encoding="utf-8")
    before = mine.read_bytes()
    code, out, err = said("fields", flight, "--out", flight.parent)
    assert (code, out) == (2, "")
    assert "places.geojson there is a file of this flight. Choose another folder." in err
    assert mine.read_bytes() == before
    assert not (flight.parent / "places.svg").exists()
    assert said("fields", flight, "--out", flight.parent / "out")[0] == 0


def test_every_file_that_is_written_is_known_by_name() -> None:
    names = {links.MARGINS, coverage._LAYER, *WRITERS}
    names |= {place_map.SVG, place_map.PNG, coverage_map.SVG, coverage_map.PNG}
    names |= {search_layer.GEOJSON, search_layer.GPX, review.PAGE, review.NEXT, review.DOCUMENT}
    names |= {compare.SHEET, compare.TABLE, compare.DOCUMENT, compare.LAYER}
    plan = {"brief.html", "plan.json", "launch-area.geojson", "landing.geojson"}
    assert names | plan == set(WRITTEN)
