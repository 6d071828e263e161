"""The files that a sortie names, and the same sortie with them elsewhere."""

from dataclasses import replace

from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.files import named_files, with_files
from farglide.sortie.sources import BarrierSource, PlacesSource, TerrainSource
from farglide.sortie.spec import Sortie


def with_all(flight: FlightFile) -> Sortie:
    sortie = flight.sortie
    end = replace(sortie.links[0].sender_end, pattern_paths=("whip.csv", "whip-upright.csv"))
    barrier = BarrierSource(name="wood", kind="wood", note="", path="wood.kml")
    return replace(
        sortie,
        links=(replace(sortie.links[0], sender_end=end),),
        terrain=TerrainSource(paths=("a.tif", "/b.tif"), void_amsl_m=0.0),
        places=PlacesSource(paths=("area.gpx",), barriers=(barrier,)),
    )


def test_every_file_is_named_with_its_key(demo_flight: FlightFile) -> None:
    assert [tuple(one) for one in named_files(with_all(demo_flight))] == [
        ("a.tif", "the ground", "[terrain] files"),
        ("/b.tif", "the ground", "[terrain] files"),
        ("area.gpx", "places", "[places] files"),
        ("whip.csv", "an antenna", "[[links]] pattern_file"),
        ("whip-upright.csv", "an antenna", "[[links]] pattern_file"),
        ("wood.kml", "a barrier", "[[barriers]] file"),
    ]


def test_files_move_and_nothing_else_does(demo_flight: FlightFile) -> None:
    sortie = with_all(demo_flight)
    new = {one.path: f"pack/{one.path}" for one in named_files(sortie) if one.path != "a.tif"}
    moved = with_files(sortie, new)
    assert [one.path for one in named_files(moved)] == [
        "a.tif", "pack//b.tif", "pack/area.gpx", "pack/whip.csv", "pack/whip-upright.csv",
        "pack/wood.kml",
    ]  # fmt: skip
    assert with_files(moved, {there: here for here, there in new.items()}) == sortie
    bare = replace(sortie, terrain=None, places=PlacesSource(), links=())
    assert with_files(bare, new) == bare
