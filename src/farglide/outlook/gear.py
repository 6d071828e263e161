"""Fill, packs, light and what the glider is at each height."""

from dataclasses import dataclass

from farglide.outlook.ascent import Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class FillRow:
    """One fill: what to hang, and what follows."""

    neck_lift_kg: float
    height_at_5_min_amsl_m: float
    burst_amsl_m: float
    burst_after_launch_s: float
    drift_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FillOutlook:
    """The fill as a dead weight to hang, the gas it takes, and its neighbours."""

    gas: str
    neck_lift_kg: float
    free_lift_kg: float
    volume_m3: float
    bottle_ratio: float  # share of a 50 l, 200 bar bottle
    rows: tuple[FillRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackEnd:
    """When a pack ends."""

    name: str
    after_launch_s: Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class SunOutlook:
    """Light on the same clock."""

    sunset_after_launch_s: float | None
    dusk_after_launch_s: float | None
    azimuth_deg: float  # at the release
    elevation_deg: float
    field: str  # the chosen one, or home
    field_bearing_deg: float  # from the balloon at the release
    field_distance_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GliderRow:
    """What the glider is at one height."""

    amsl_m: float
    stall_tas_mps: float
    best_tas_mps: float
    best_eas_mps: float
    glide_ratio: float
    sink_mps: float
    top_tas_mps: float
    mach: float
    reynolds: float
    turn_radius_m: float
    pullout_m: float
