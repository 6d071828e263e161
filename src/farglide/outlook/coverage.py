"""How far one link holds round one stand."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import SingleArray
from farglide.atlas.fields import Field
from farglide.earth.state import Place
from farglide.errors import check_range
from farglide.outlook.charted import GroundGrid
from farglide.outlook.launch import MapLine
from farglide.sim.hear.groundcircle import GroundCircle, Level
from farglide.sortie.spec import LinkSpec, StandSpec

STEPS_DB: Final = (0.0, 3.0, 10.0)
"""From which margins on a step of the picture begins; below the first the link is lost."""
UNKNOWN: Final = -1
_LESS_DB: Final = (0.0, 60.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageAsked:
    """What is asked for: a link and a stand by their names, how high the glider is, how far off.

    `less_db`: taken off every margin, for an antenna that is bent, ill aimed or wet.
    """

    link: str
    stand: str
    level: Level
    less_db: float = 0.0
    radius_m: float = 60_000.0
    n_cells: int = 400

    def __post_init__(self) -> None:
        check_range("less_db", self.less_db, "dB", _LESS_DB, "A loss is above 0.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ray:
    """How far a link holds in one direction, looked at every six-hundredth of the radius.

    `from_m` to `to_m` is the first stretch on which it holds, NaN where there is none. `end`, what
    ends it there: "edge" of the area, "range", "ground" (in the way, or higher than the glider),
    "antenna" (its pattern, where that takes more than 3 dB), or "unknown" ground beyond. `begin`:
    the same of what keeps it from holding just before `from_m`, empty where that is 0. `left_db`:
    what is left at `to_m`. `again_m`: the last place farther out where it holds again.
    """

    bearing_deg: float
    from_m: float
    to_m: float
    end: str
    left_db: float
    again_m: float | None
    begin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """One link over an area.

    `margins_db` (n_rows, n_columns): NaN without an answer. `is_high`: so high is the glider that
    ground beyond the files cannot stand in the way, and need not be known.
    """

    name: str
    link: LinkSpec
    sd_db: float  # the doubt about its budget, that of its antennas in it
    stand: StandSpec
    mast: Place
    asked: CoverageAsked
    circle: GroundCircle
    margins_db: SingleArray
    rays: tuple[Ray, ...]
    fields: tuple[Field, ...]
    ground: str  # where the heights of the ground come from; empty: flat ground assumed
    flat_amsl_m: float  # its height then, else NaN
    is_high: bool
    lines: tuple[MapLine, ...] = ()  # barriers and roads
    relief: GroundGrid | None = None  # None without terrain

    @property
    def steps(self) -> NDArray[np.int8]:
        """Return the step of each cell: 0 lost, then one for each of `STEPS_DB`, or `UNKNOWN`."""
        found = np.digitize(np.nan_to_num(self.margins_db), STEPS_DB).astype(np.int8)
        found[np.isnan(self.margins_db)] = UNKNOWN
        return found
