"""Preview: what a flight file already tells of its flight, before any wind."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkReach:
    """How far one link works in free space: at all, and with 6 dB of margin left."""

    name: str
    reach_m: float
    half_reach_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """Best glide near sea level, fill, climb, burst and links, all without errors."""

    air: str  # in which air
    glide_ratio: float
    flown_glide_ratio: float  # as flown by hand and picture
    best_eas_mps: float
    stall_eas_mps: float
    gas: str
    neck_lift_kg: float
    volume_m3: float
    fill_diameter_m: float
    burst_diameter_m: float
    mean_ascent_mps: float | None  # None: it never bursts
    burst_amsl_m: float | None
    burst_after_launch_s: float | None
    canopy_sink_mps: float | None = None  # of a payload; None: of a glider the first four count
    links: tuple[LinkReach, ...] = ()
