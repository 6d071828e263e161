"""From where to launch: the chances of all spots round home, and what the best of them give."""

from dataclasses import dataclass
from typing import Final, Literal

TOO_FAR: Final = "too far to drive"
OWNER_REFUSED: Final = "refused by the owner"
Kind = Literal["launch", "free", "place"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchSpot:
    """One spot of the area: along the drift from home (up-drift positive) and across."""

    up_drift_m: float
    across_m: float  # positive: to the left of the drift
    lat_deg: float
    lon_deg: float
    home_ratio: float  # home, released at the wished height or above
    home_any_height_ratio: float
    any_field_ratio: float  # the best field, released at the wished height or above
    field_ratios: tuple[float, ...]  # each field, in the order of the flight file
    drive_s: float  # from home, a guess
    manned_after_launch_s: float | None  # the first stand, at the earliest; None without stands
    barred: str  # what bars a launch there: a barrier, the sea, the drive; empty where nothing does


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotField:
    """One field, for a launch at a spot and a release at the wished height or above."""

    field: str
    chance_ratio: float
    shut_s: float  # not open, from T+3 min to the median burst
    release_by_after_launch_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldSpot:
    """A launch spot looked at closely: how to get there and on, and what it gives."""

    name: str
    kind: Kind
    lat_deg: float
    lon_deg: float
    up_drift_m: float  # of home
    across_m: float
    from_home_m: float
    from_home_deg: float  # true bearing from home
    from_launch_m: float  # and from the stated launch
    from_launch_deg: float
    drive_s: float  # from home
    drive_guessed: bool
    stand: str  # that serves the best release for home; empty without
    stand_drive_s: float | None  # from the spot; None without a stand, or for a second crew
    stand_ready_after_launch_s: float | None
    links_ratio: float | None  # that the worst link holds from that stand; None without links
    any_field_ratio: float
    fields: tuple[SpotField, ...]  # in the order of the flight file, home first
    barred: str
    owner: str = ""
    surface: str = ""
    trees_upwind: str = ""
    obstacles: str = ""

    @property
    def home_ratio(self) -> float:
        """Return the chance of home."""
        return self.fields[0].chance_ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class MapMark:
    """A point to be shown beside the spots."""

    kind: Literal["field", "stand"]
    name: str
    lat_deg: float
    lon_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MapLine:
    """The outline of a barrier, latitude and longitude of its corners."""

    name: str
    kind: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchArea:
    """The area to launch from."""

    axis_deg: float  # true bearing of the drift
    from_amsl_m: float  # releases count from here up
    may_drive_s: float | None
    drive_radius_m: float | None  # how far the drive reaches, as the crow flies
    up_drift_m: tuple[float, ...]  # even steps along the drift, rising
    across_m: tuple[float, ...]  # and across
    spots: tuple[LaunchSpot, ...]  # the even ones, step by step along; then finer ones
    stated: ToldSpot  # the launch of the flight file
    free: ToldSpot | None  # the best spot that nothing bars; None where all are barred
    unlimited: ToldSpot | None  # the best if the drive did not count, where that is another
    places: tuple[ToldSpot, ...]  # prepared
    advised: ToldSpot
    n_unmanned: int  # spots from which no stand is manned before the last balloon has burst
    marks: tuple[MapMark, ...]
    lines: tuple[MapLine, ...]

    @property
    def is_undriven(self) -> bool:
        """Tell whether the drive alone bars every spot."""
        return all(spot.barred == TOO_FAR for spot in self.spots)
