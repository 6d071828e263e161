"""Pack: all a flight needs of the world, in memory or as a folder that opens offline."""

from dataclasses import dataclass

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import Terrain


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """The world as one flight needs it: its air and its ground.

    How old, how far and how long forecast the air is, its sounding says.
    """

    sounding: Sounding
    flight_text: str = ""
    terrain: Terrain | None = None  # None: flat
