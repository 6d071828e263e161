"""What gets cold, warm or lost, what a single failure ends, and what comes down unsteered."""

from dataclasses import dataclass
from typing import Literal

from farglide.outlook.ascent import Spread

Phase = Literal["climb", "window", "glide"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CellHeat:
    """How cold the cells of a pack in a box get before it ends, along the reference flight."""

    pack: str
    coldest_k: float
    coldest_after_launch_s: float
    coldest_amsl_m: float
    left_ratio: float  # of its energy, all temperatures of the flight together


@dataclass(frozen=True, slots=True, kw_only=True)
class TransmitterHeat:
    """How warm a transmitter gets from the switch-on to the landing, on the flight as planned."""

    link: str
    at_launch_k: float
    at_release_k: float
    hottest_k: float
    hottest_after_launch_s: float
    hottest_amsl_m: float
    limit_k: float | None
    over_limit: tuple[tuple[float, float], ...]  # (from, to) after_launch_s


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseHand:
    """How long a loss that comes at the beginning of a phase leaves to mend it."""

    phase: Phase
    from_after_launch_s: float
    in_hand_s: float | None  # None: not known
    until: str  # what is over then


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFailure:
    """What ends when one part fails, and what a second one of it buys."""

    part: str
    at: Literal["aboard", "ground"] | None  # None: the file does not say
    links: tuple[str, ...]
    purposes: tuple[str, ...]  # of which no link is left
    ends_release: bool
    swap_s: float | None
    fails_in_3h_ratio: float | None  # as the crew states it
    both_fail_in_3h_ratio: float | None  # with a second one that fails on its own


@dataclass(frozen=True, slots=True, kw_only=True)
class TriggerRecord:
    """One way to release, and the bound its own tests set."""

    trigger: str
    n_tests: int
    n_failures: int
    fails_ratio: float | None  # 95 % bound; None: never tried


@dataclass(frozen=True, slots=True, kw_only=True)
class Failures:
    """Single points of failure: parts, the worst first, and the time there is to mend them."""

    parts: tuple[PartFailure, ...]
    hands: tuple[PhaseHand, ...]
    triggers: tuple[TriggerRecord, ...]
    shared_by_triggers: tuple[str, ...]  # parts that every trigger needs
    none_releases_ratio: (
        float | None
    )  # all triggers fail, each by its own record; shared parts work


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsteered:
    """What comes down with nobody steering it: where, when, and how widely spread."""

    what: str
    from_after_launch_s: float
    from_amsl_m: float
    down_after_launch_s: Spread
    drift_m: float  # from where it began
    lat_deg: float
    lon_deg: float
    radius_m: float  # holds nine of ten draws


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondsLeft:
    """After a burst with the glider still tied on: how long each field stays in reach."""

    burst_amsl_m: float
    field: str
    seconds_s: float
