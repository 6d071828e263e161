"""Payload: what the plan of a box under a parachute found, as plain values."""

from dataclasses import dataclass

from farglide.outlook.ascent import AscentOutlook, Spread
from farglide.outlook.charted import ChartOutlook
from farglide.outlook.document import Documented
from farglide.outlook.links import HeardLink


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """Where and when it comes down, and into what."""

    after_launch_s: Spread
    fall_s: Spread  # from the burst
    lat_deg: float
    lon_deg: float
    amsl_m: float
    radius_m: float  # holds nine of ten draws
    from_launch_m: float
    bearing_deg: float  # from the launch
    sink_mps: float  # at the ground
    barriers: tuple[tuple[str, str, float], ...]  # (name, kind, share of draws inside)


@dataclass(frozen=True, slots=True, kw_only=True)
class PayloadOutlook(Documented):
    """All that the plan of a payload found."""

    name: str
    launch_t_s: float
    zone: str
    launch_name: str
    n_draws: int
    seed: int
    wind_origin: str
    wind_age_s: float
    missing: tuple[str, ...]  # permissions that nobody has
    asked: tuple[str, ...]  # and those that are asked for, not held
    ground_wind_mps: float  # just above the launch
    ground_wind_limit_mps: float  # up to which the crew fills the balloon
    suspicions: tuple[str, ...]
    gas: str
    neck_lift_kg: float
    volume_m3: float
    ascent: AscentOutlook
    landing: Landing
    dusk_after_launch_s: float | None
    links: tuple[HeardLink, ...]
    chart: ChartOutlook  # what a map shows beside the landing
    ground: str  # where the heights of the ground come from; empty: flat ground assumed
    notes: tuple[str, ...]
