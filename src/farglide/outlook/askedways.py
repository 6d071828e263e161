"""Asked of the ways home, let go now: speeds, barriers, other places, as values."""

from dataclasses import dataclass

from farglide.outlook.barriers import BarrierWay
from farglide.outlook.document import Documented
from farglide.outlook.fields import State
from farglide.outlook.places import Outlandings
from farglide.outlook.release import SpeedRow


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedNow(Documented):
    """What to fly home, let go now; no rows where the field is out of reach."""

    after_launch_s: float
    field: str
    state: State  # of that field, let go now
    chance_ratio: float
    is_in_time: bool  # of the flat way: it ends before packs and light
    level_after_s: float  # after the release
    level_amsl_m: float
    spare_m: float | None
    wind_from_deg: float
    wind_mps: float
    rows: tuple[SpeedRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierNow(Documented):
    """The barriers on the straight way to the field, let go now."""

    after_launch_s: float
    field: str
    chance_ratio: float
    level_amsl_m: float
    over_edge_amsl_m: tuple[float | None, ...]  # of each way: flown flat; None: below the ground
    ways: tuple[BarrierWay, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PutdownNow(Documented):
    """Where to put it, let go now, if no field is open."""

    after_launch_s: float
    lat_deg: float
    lon_deg: float
    best_field: str
    best_ratio: float
    otherwise: Outlandings
