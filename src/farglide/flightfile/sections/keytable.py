"""Key table: every section of a flight file, in the order in which it is written and read."""

from typing import Final

from farglide.flightfile.entries import Section
from farglide.flightfile.reading.keys import Quantity
from farglide.flightfile.sections.balloon import BALLOON, TRAIN
from farglide.flightfile.sections.drop import CREW, DROP
from farglide.flightfile.sections.flight import DOUBT, FLIGHT, LAUNCH, PERMITS, WISH
from farglide.flightfile.sections.glider import GLIDER, GLIDES
from farglide.flightfile.sections.links import LINKS
from farglide.flightfile.sections.packs import PACKS
from farglide.flightfile.sections.parts import PARTS, TRIGGERS
from farglide.flightfile.sections.places import BARRIERS, FIELDS, PLACES
from farglide.flightfile.sections.sources import TERRAIN, WIND
from farglide.flightfile.sections.stands import STANDS

EVERY: Final[tuple[Section, ...]] = (
    FLIGHT, LAUNCH, BALLOON, TRAIN, GLIDER, GLIDES, DROP, PACKS, FIELDS, LINKS, STANDS, TRIGGERS,
    PARTS, TERRAIN, BARRIERS, PLACES, DOUBT, WISH, WIND, PERMITS, CREW,
)  # fmt: skip
SECTIONS: Final[dict[str, tuple[Quantity, ...]]] = {one.name: one.rows for one in EVERY}
"""The numbers that each section may hold."""
