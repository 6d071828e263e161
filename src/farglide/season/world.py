"""World: the flight, its ground and its winds, as whoever compares launches asks them."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

from farglide.air.gridcolumn import sounding_over
from farglide.air.sounding import Sounding
from farglide.air.windgrid import WindGrid
from farglide.atlas.terrain import Terrain
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.packfile.grids import StoredGrid, grid_between
from farglide.rig.profile import LONGEST_S

Winds = Callable[[Place, float], Sounding]
"""Returns the air over a place at a moment, UTC, with what is known around it."""


@dataclass(frozen=True, slots=True)
class OneColumn:
    """Winds of one sounding: the same at every place and moment, the doubtfuller the farther."""

    sounding: Sounding

    def __call__(self, place: Place, t_s: float) -> Sounding:
        """Return the sounding."""
        return self.sounding


@dataclass(frozen=True, slots=True)
class GridWinds:
    """Winds of a forecast in a pack, read where they are wanted: it can be sent to a worker."""

    forecast: StoredGrid
    members: StoredGrid | None = None

    def __call__(self, place: Place, t_s: float) -> Sounding:
        """Return the air over a place, the forecast of the hours from then on around it."""
        around = _read(_Key(self.forecast), t_s)
        members = None if self.members is None else _read(_Key(self.members), t_s)
        return replace(sounding_over(around, place, t_s), around=around, members=members)


class _Key:
    """A stored forecast by its file: what it holds is not compared."""

    def __init__(self, stored: StoredGrid) -> None:
        self.stored = stored

    def __hash__(self) -> int:
        return hash(self.stored.path)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self.stored.path == other.stored.path


@lru_cache(maxsize=4)  # both parts of two launch times: neighbouring tasks ask for the same
def _read(key: _Key, t_s: float) -> WindGrid:
    return grid_between(key.stored, t_s, t_s + LONGEST_S)


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """What all launches have in common. `flight`: its polar fitted, its fill not solved yet."""

    flight: FlightFile
    winds: Winds
    terrain: Terrain | None
