"""What is known of the places of a flight, and where to put it when no field is open."""

from dataclasses import dataclass

from farglide.atlas.barriers import Places
from farglide.atlas.fields import Field
from farglide.earth.state import Place
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.charted import GroundGrid
from farglide.outlook.launch import MapLine
from farglide.sortie.spec import Launch, StandSpec


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlanding:
    """One place to come down: where, what is known of it, and the chance of getting there.

    `amsl_m` and `slope_deg` are NaN and `road_m` infinite where they are not known.
    """

    lat_deg: float
    lon_deg: float
    amsl_m: float
    slope_deg: float
    road_m: float
    n_seen_by: int
    open_ratio: float
    score_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlandings:
    """The best places for a release at one minute, best first, and what they were chosen by."""

    after_launch_s: float
    amsl_m: float
    any_open_ratio: float  # the chance that some field is open then
    places: tuple[Outlanding, ...]
    knows_ground: bool
    knows_roads: bool
    n_stands: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldView:
    """One field, and what the ground's files say of it: NaN where they do not."""

    field: Field
    ground_amsl_m: float
    slope_deg: float
    area_m2: float | None
    inside: str  # the barrier it lies in; empty for none


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceView:
    """The places of a flight: fields, ways over barriers from the planned release, and the rest.

    The release is where half the balloons have burst when nothing is worth one. `drift`: latitudes
    and longitudes of the median balloon up to there.
    """

    name: str
    launch: Launch
    release_after_launch_s: float
    release_planned: bool
    release: Place
    drift: tuple[tuple[float, float], ...]
    open_ratio: float
    arrival_agl_m: float
    fields: tuple[FieldView, ...]
    ways: tuple[BarrierWay, ...]
    otherwise: Outlandings
    places: Places
    stands: tuple[StandSpec, ...]
    lines: tuple[MapLine, ...]  # barriers, roads, rails and wires
    relief: GroundGrid | None  # None without terrain
    ground: str  # where the heights of the ground come from; empty without
    notes: tuple[str, ...]
