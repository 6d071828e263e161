"""What a change of the flight would buy: a wait, another number."""

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
class Wait:
    """What waiting on the ground with packs on costs."""

    delay_s: float
    chance_ratio: float
