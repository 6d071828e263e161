"""Review: what was promised, what happened, and what to believe next time, as plain values."""

from dataclasses import dataclass
from typing import Literal

from farglide.outlook.document import Documented

Within = Literal["half", "most", "outside", "unjudged"]
"""Where it came: inside the range of 5 in 10, of 9 in 10, or outside both; "unjudged" where no
range was told, or nobody saw how it came."""
Ended = Literal["released", "burst", "topped", "still carried", "not seen"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """One number that was told before, and how it came; `unit` is that of all its numbers."""

    what: str
    told: str  # by the "plan", or by advice "at 10 km"; behind a comma what its range is
    unit: str  # "m", "s" after the launch, "ratio"
    middle: float
    half_low: float | None
    half_high: float | None
    most_low: float | None
    most_high: float | None
    came: float | None
    at_least: bool  # it was seen whole so far, and would have come later
    within: Within


@dataclass(frozen=True, slots=True, kw_only=True)
class Occurred:
    """One thing that happened."""

    after_launch_s: float
    what: str
    amsl_m: float | None
    origin: str  # "marked", "marked 50 s later", "by the fixes"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindOff:
    """How far the winds of some heights were off those told."""

    where: str
    from_amsl_m: float
    to_amsl_m: float
    told_mps: float  # mean speed
    faster_mps: float  # along the wind told
    to_right_mps: float  # across it
    sd_mps: float  # of both, of the measuring
    told_sd_mps: float  # how far a component was told to be off
    n_stretches: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """One number of the flight file: what was thought, what flights said, what to use next."""

    key: str  # "balloon.drag_factor", "links[picture].offset_db"
    what: str
    unit: str
    gear: str  # of which airframe, batch, pack or crew
    thought: float
    thought_sd: float
    was: float | None  # of the newest flight that tells of it, by itself
    was_sd: float | None
    was_at_least: bool
    use: float
    use_sd: float
    spread_key: str  # under which a flight file states the spread
    spread: float  # as it is stated there
    between_sd: float | None  # from flight to flight; None: nothing told
    n_told: int  # flights
    n_at_least: int  # of them such as only tell a least value
    why: str  # why it is kept, or what the number rests on


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedChance:
    """One chance that was told, and whether it came true."""

    flight: int  # by its row
    what: str
    after_launch_s: float
    chance_ratio: float
    came: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueRow:
    """Chances of one size: how often they came true; the interval is of 95 %."""

    from_ratio: float
    to_ratio: float
    n: int
    n_flights: int
    told_ratio: float
    came_ratio: float
    low_ratio: float
    high_ratio: float
    is_few: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Honesty:
    """How true the told chances were; the Brier score is 0 at best, 0.25 for "one half" always."""

    n: int
    n_flights: int
    brier: float | None
    brier_constant: float | None  # of always telling the share that came true
    rows: tuple[TrueRow, ...]
    is_few: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BestChange:
    """The one change that would have bought most on the forecast of that day."""

    what: str
    field: str
    from_ratio: float
    to_ratio: float
    advice: str
    unknown: str  # the guess that moves the chance most; empty without one
    unknown_ratio: float  # by how much it moves it


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """When the release was due, when it was sent, and what both were worth by what was known."""

    due_after_launch_s: float | None
    from_after_launch_s: float | None  # when the window was told to open
    sent_after_launch_s: float | None
    released_after_launch_s: float | None
    field: str
    chance_ratio: float | None  # when it was sent
    best_ratio: float | None  # the best told until then or then


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightReview:
    """One flight: promises and events, its winds, its fill and its choices."""

    name: str
    log: str
    launch_t_s: float
    zone: str
    airframe: str
    batch: str
    ended: Ended
    ended_why: str
    is_finished: bool
    is_rehearsed: bool
    n_fixes: int
    landed_at: str  # a field; empty: none, or nobody saw it
    neck_lift_kg: float | None  # as the climb tells it
    neck_lift_sd_kg: float | None
    promises: tuple[Promise, ...]
    occurred: tuple[Occurred, ...]
    winds: tuple[WindOff, ...]
    shallow_ratio: float | None  # as wide as told times this
    deep_ratio: float | None
    choice: Choice | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Review(Documented):
    """The review of one flight or of several."""

    flights: tuple[FlightReview, ...]
    learned: tuple[Learned, ...]
    n_early_bursts: int  # among the bursts seen
    n_followed: int  # balloons followed to a burst or a release
    stated: tuple[StatedChance, ...]
    honesty: Honesty
    change: BestChange | None  # of the newest flight with a forecast
    notes: tuple[str, ...]
