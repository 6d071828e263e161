"""Pack: all a flight needs of the world, in memory or as a folder that opens offline."""

from dataclasses import dataclass

from farglide.air.column import Sounding
from farglide.atlas.terrain import Terrain
from farglide.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """The world as one flight needs it: its air, how much its doubt is widened, its ground."""

    sounding: Sounding
    widening_ratio: float = 1.0
    flight_text: str = ""
    terrain: Terrain | None = None  # None: flat

    def __post_init__(self) -> None:
        if not 1.0 <= self.widening_ratio <= 10.0:
            raise InputError("widening_ratio", self.widening_ratio, "1 to 10")
