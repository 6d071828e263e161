"""Files beside the flight file: ground and winds."""

from pathlib import Path

from farglide.flightfile.sections.sources import TERRAIN, WIND, terrain_of, wind_of
from farglide.sortie.sources import TerrainSource, WindSource

from ..conftest import Entered, Told

FOLDER = Path("flights")


def test_files_are_looked_for_beside_the_flight_file(entered: Entered) -> None:
    ground = entered(TERRAIN, '[terrain]\nfiles = ["a.tif", "b.hgt"]\nvoid_m = -32')
    assert terrain_of(ground, FOLDER) == TerrainSource(
        paths=(str(FOLDER / "a.tif"), str(FOLDER / "b.hgt")), void_amsl_m=-32.0
    )
    winds = entered(WIND, '[wind]\nfile = "winds.csv"\naccept_age_min = 90')
    assert wind_of(winds, FOLDER) == WindSource(path=str(FOLDER / "winds.csv"), accept_age_h=1.5)


def test_without_a_section_there_is_no_file(entered: Entered) -> None:
    assert terrain_of(entered(TERRAIN, ""), FOLDER) is None
    assert wind_of(entered(WIND, ""), FOLDER) is None


def test_a_section_without_its_file_is_refused(told: Told) -> None:
    assert told(TERRAIN, "[terrain]\nvoid_m = 0") == [
        '[terrain] files: is missing. Write files = ["ground.tif"], or take [terrain] out.'
    ]
    assert told(WIND, "[wind]\naccept_age_h = 1") == [
        '[wind] file: is missing. Write file = "winds.csv", or take [wind] out.'
    ]
