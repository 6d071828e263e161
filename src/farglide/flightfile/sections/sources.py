"""Files beside the flight file: the heights of the ground, and the winds."""

from pathlib import Path
from typing import Final

from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, choice
from farglide.flightfile.reading.lists import read_files
from farglide.flightfile.reading.meant import as_path
from farglide.flightfile.reading.reader import Reader
from farglide.sortie.sources import TerrainSource, WindSource

_TERRAIN_ROWS: Final = (
    Quantity("void", unit.HEIGHT, (-500.0, 9000.0),
             "posts of this height are gaps or sea, for files that do not mark them"),
)  # fmt: skip
_WIND_ROWS: Final = (
    choice("accept_age", unit.HOURS, (0.0, 240.0), "winds are taken up to an age of", 3.0),
    choice("accept_distance", unit.FAR, (0.0, 2000.0), "and up to a distance of", 100.0),
)


def terrain_of(one: Entry, folder: Path) -> TerrainSource | None:
    """Return the files of the ground, beside the flight file; None where there are none."""
    paths = tuple(str(folder / name) for name in one.lists["files"])
    return TerrainSource(paths=paths, void_amsl_m=one.stated("void_m")) if paths else None


def wind_of(one: Entry, folder: Path) -> WindSource | None:
    """Return the file of winds, beside the flight file; None where there is none."""
    if not one.texts["file"]:
        return None
    return one.spec(WindSource, path=str(folder / one.texts["file"]))


def _finish_wind(reader: Reader, one: Entry) -> None:
    one.texts["file"] = as_path(reader.text("file"))
    if not one.texts["file"] and reader.table and not reader.table.get("file"):
        reader.refuse("file", "is missing.", 'Write file = "winds.csv", or take [wind] out.')


TERRAIN: Final = Section(
    name="terrain",
    about="Heights of the ground, for the sight of the links; without it the ground is taken as "
    "flat, and said so.",
    rows=_TERRAIN_ROWS,
    finish=lambda reader, one: one.lists.update(files=read_files(reader, "ground.tif")),
    words={
        "files": "**required** in this section. A list of GeoTIFF (EPSG:4326) or SRTM ``.hgt`` "
        "files beside the flight file"
    },
)
WIND: Final = Section(
    name="wind",
    about="Which winds, and how old or distant they may be.",
    rows=_WIND_ROWS,
    finish=_finish_wind,
    words={
        "file": "**required** in this section. The file of winds, beside the flight file; see "
        ":doc:`winds`"
    },
)
