"""Rehearsal: what happened in a rehearsed flight, and how well its crew decided."""

from dataclasses import dataclass
from enum import StrEnum

from farglide.outlook.advice import Advice


class What(StrEnum):
    """What happened at a moment."""

    LAUNCHED = "launched"
    ADVISED = "advised"
    SENT = "release sent"
    STUCK = "not released"
    RELEASED = "released"
    BURST = "burst"
    TOPPED = "highest"
    TURNED = "turned to another field"
    OVER = "over its field"
    DEAD = "packs empty"
    DOWN = "down"


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One thing that happened, seconds after the launch, and how high it was then."""

    after_launch_s: float
    what: What
    amsl_m: float
    field: str = ""  # to which it is flown
    advice: Advice | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """How well a crew decided, by what was known at each moment, not by what came of it.

    Chances are NaN where nothing was advised, or the balloon burst before.
    """

    chance_ratio: float  # of the field flown to, when the release was sent
    best_ratio: float  # of the best choice known then
    regret_ratio: float  # what all its choices cost, by the chances told when they were made
    due_after_launch_s: float | None  # release-by, as told when it first came to "now"
    is_met: bool  # sent by then
    told_by_after_launch_s: float | None = None  # release-by as told last before it was sent
    opens_after_launch_s: float | None = None  # of a window still to come then


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    """How a flight came down: by which field, how far off, and with how much time in hand."""

    field: str  # the nearest to where it lies
    away_m: float  # from that one
    is_on_field: bool  # so near that it came down circling over it
    in_hand_s: float  # over its field, or down, before packs or light end; negative: after that
    n_turns: int  # to another field, on the way


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsed:
    """One rehearsed flight."""

    surprises: tuple[str, ...]  # what was otherwise than planned
    seed: int
    crew: str
    field: str
    happened: tuple[Happened, ...]
    came_home: bool  # over its field at the arrival height, in time
    how: str
    away_m: float  # from its field, where it lies
    release_amsl_m: float  # NaN: never
    landing: Landing
    score: Score
