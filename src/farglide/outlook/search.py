"""Search: where to look first once it is down, as plain values."""

from dataclasses import dataclass

from farglide.outlook.document import Documented


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchDatum:
    """The last true position, what its glide reaches, and where it lies by all that is known."""

    lat_deg: float
    lon_deg: float
    amsl_m: float
    agl_m: float
    t_s: float
    heading_deg: float | None
    glide_ratio: float
    glide_radius_m: float  # through still air
    circle_area_m2: float
    sector_area_m2: float | None  # 30 degrees to each side of the heading; None without one
    outline: tuple[tuple[float, float], ...]  # circle or sector, moved by the wind of the glide
    likely_lat_deg: float
    likely_lon_deg: float
    radius_50_m: float
    radius_90_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StoryShare:
    """One story of the way down: its chance, where it ends, and within how much of that 9 in 10."""

    name: str
    chance_ratio: float
    lat_deg: float
    lon_deg: float
    radius_m: float
    down_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchSegment:
    """One piece of ground: where, what covers it, what chance it holds, before and now.

    `road_m` is NaN where no road is known. The first ring is the outer one.
    """

    name: str
    cover: str
    is_walked: bool  # False: nobody looks there on foot
    sweep_m: float
    area_m2: float
    before_ratio: float  # chance of containment before anybody looked
    chance_ratio: float  # of containment now
    looked_s: float
    lat_deg: float
    lon_deg: float
    road: str  # the nearest; empty where none is known
    road_m: float
    hazards: tuple[str, ...]
    owners: tuple[str, ...]  # fields in it, and what their owners said
    rings: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchStep:
    """One look in the order that finds most per minute, the way there counted."""

    segment: str
    way_s: float
    walk_m: float
    begin_t_s: float
    look_s: float
    coverage_ratio: float
    detection_ratio: float  # chance of finding it there if it is there
    gain_ratio: float  # chance of finding it in this step
    found_ratio: float  # chance of having found it by its end


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchStop:
    """When to be back at the car; None where nothing ends the search."""

    turn_t_s: float | None
    why: str
    is_late: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossedBarrier:
    """A border or barrier on the straight way from the crew to the first segment."""

    name: str
    kind: str
    after_m: float
    ends_inside: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AfloatShare:
    """A water that it may have come down on: how likely, and where and when it strands there."""

    water: str
    chance_ratio: float
    drift_mps: float
    towards_deg: float
    lat_deg: float
    lon_deg: float
    soonest_t_s: float  # NaN without wind
    likely_t_s: float
    latest_t_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BearingsMet:
    """Where two bearings meet, and within how much of that it lies."""

    stands: tuple[str, ...]
    lat_deg: float
    lon_deg: float
    angle_deg: float
    radius_50_m: float
    radius_90_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchOutlook(Documented):
    """Where to look, in which order, until when."""

    name: str
    zone: str
    begins_t_s: float
    n_people: int
    datum: SearchDatum
    stories: tuple[StoryShare, ...]
    segments: tuple[SearchSegment, ...]
    steps: tuple[SearchStep, ...]
    stop: SearchStop
    elsewhere_ratio: float  # chance that it lies in none of the segments
    crossed: tuple[CrossedBarrier, ...]
    afloat: tuple[AfloatShare, ...]
    met: tuple[BearingsMet, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
