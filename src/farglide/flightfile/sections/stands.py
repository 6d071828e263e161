"""Stands: the places from which the crew listens and commands."""

from typing import Final

from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading.endings import ANGLE, HEIGHT, TIME
from farglide.flightfile.reading.keys import needed, quantity, typical
from farglide.sortie.spec import StandSpec

_ROWS: Final = (
    needed("lat", ANGLE, (-89.0, 89.0), "it lies at latitude"),
    needed("lon", ANGLE, (-180.0, 180.0), "and longitude"),
    quantity("amsl", HEIGHT, (-430.0, 6000.0), "its ground lies above mean sea level at",
             settle="read it off a topographic map"),
    typical("mast", HEIGHT, (0.5, 30.0), 2.0, "the antennas stand above the ground at"),
    quantity("drive", TIME, (0.0, 86_400.0),
             "the drive there from the launch takes, nine times in ten, less than",
             settle="drive it once"),
    quantity("nose", ANGLE, (0.0, 360.0), "there the car stands with its nose toward"),
)  # fmt: skip


def stand_of(one: Entry) -> StandSpec:
    """Return a stand found without problems."""
    return StandSpec(
        name=one.name,
        drive_s=one.stated("drive_s"),
        nose_deg=one.stated("nose_deg"),
        **one.values("lat_deg", "lon_deg", "amsl_m", "mast_m"),
    )


STANDS: Final = Section(
    name="stands",
    noun="stand",
    about="One section for each place from which the crew listens and commands.",
    rows=_ROWS,
    texts=("name",),
    words={"name": "the stand's name; no two alike"},
)
