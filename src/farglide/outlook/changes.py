"""What a change of the flight would buy: another launch, a wait, another number."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Gain:
    """One change to the plan and what it buys, or one guess and what it costs."""

    what: str
    chance_ratio: float
    shut_s: float  # time with home shut from T+3 min to the median burst
    release_by_shift_s: float
    advice: str = ""
    moved_ratio: float = 0.0  # of a guess: how far apart the chances of its two sides are


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchSpot:
    """Launching elsewhere: along the drift from home (up-drift positive) and across."""

    up_drift_m: float
    across_m: float  # positive: to the left of the drift
    chance_ratio: float
    shut_s: float
    release_by_after_launch_s: float


def best_spot(spots: Sequence[LaunchSpot]) -> LaunchSpot:
    """Return the launch with the best chance; of equal ones the least shut, then the nearest."""
    return max(
        spots, key=lambda s: (round(s.chance_ratio, 2), -s.shut_s, -abs(s.across_m), -s.up_drift_m)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """What waiting on the ground with packs on costs."""

    delay_s: float
    chance_ratio: float
