"""The climb: its track, its burst, and the spread of a number."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The values that one, five and nine of ten draws stay below."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TrackPoint:
    """The median of the balloons still whole at one moment of the climb."""

    after_launch_s: float
    amsl_m: float
    lat_deg: float
    lon_deg: float
    east_m: float
    north_m: float
    spread_m: float  # radius that holds nine of ten draws


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelPassage:
    """When the balloon passes a flight level, from the pressure of the column."""

    flight_level: int
    after_launch_s: Spread
    lat_deg: float
    lon_deg: float
    radius_m: float  # holds nine of ten draws


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstOutlook:
    """Where and when the climb ends, and how the chance grows."""

    height_amsl_m: Spread
    after_launch_s: Spread
    lat_deg: float
    lon_deg: float
    by_time: tuple[tuple[float, float], ...]  # (after_launch_s, share burst by then)
    by_height: tuple[tuple[float, float], ...]  # (amsl_m, share burst below)
    within_60_s: tuple[tuple[float, float], ...]  # (after_launch_s, chance in 60 s if still whole)
    early_ratio: float  # share that bursts below 0.9 of the bursting diameter
    early_from: str  # where that share comes from, in words


@dataclass(frozen=True, slots=True, kw_only=True)
class AscentOutlook:
    """The climb: track, burst, levels."""

    mean_mps: Spread
    track: tuple[TrackPoint, ...]
    burst: BurstOutlook
    levels: tuple[LevelPassage, ...]
    farthest_km: float
    beyond_amsl_m: float | None  # above this height the winds are an extension of the sounding
