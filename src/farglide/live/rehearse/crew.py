"""Crew: scripted people in the car, who order the release by the advice, the plan or a rule."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np

from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_of_heights
from farglide.errors import InputError
from farglide.live.rehearse.sitting import Look, Sitting
from farglide.outlook.advice import Advice, Level
from farglide.sim.core.shares import quantile_moment_s

HOME: Final = 0
YOU: Final = "you"
"""Who rides it by hand."""
RULE_AMSL_M: Final = 25_000.0
RULE_BEFORE_S: Final = 300.0
_ALIKE_RATIO: Final = 0.01
_NEARLY_S: Final = 60.0
"""A window that opens within a minute is open: climbs are told each half minute."""


class Crew(Protocol):
    """Who decides when to let go, and for which field."""

    @property
    def name(self) -> str:
        """Return what it is called."""

    @property
    def steers_by_advice(self) -> bool:
        """Tell whether it looks at the advice after the release too."""

    def wants(self, sitting: Sitting, t_s: float) -> int | None:
        """Return the field for which the release is to be sent now, None to wait."""


@dataclass(frozen=True, slots=True)
class ByAdvice:
    """Sends the release when it is told "now", or when no later one is any better."""

    name: str = "advice"
    steers_by_advice: bool = True

    def wants(self, sitting: Sitting, t_s: float) -> int | None:
        """Return the field advised, once it is time; after a burst at once."""
        look = sitting.look(t_s)
        fell = sitting.is_seen_falling(t_s)
        if look is None or look.advice is None:
            return HOME if fell else None
        field = advised_field(sitting, look.advice)
        return field if fell or is_due(look, t_s) else None


@dataclass(frozen=True, slots=True)
class AtWindow:
    """Sends the release as soon as the window is open and no wait of minutes is any better."""

    name: str = "window"
    steers_by_advice: bool = True

    def wants(self, sitting: Sitting, t_s: float) -> int | None:
        """Return the field advised, once it is time."""
        look = sitting.look(t_s)
        advice = None if look is None else look.advice
        if advice is not None and advice.release is not None:
            is_open = advice.release.from_after_launch_s <= advice.after_launch_s + _NEARLY_S
            now, *later = (one.chance_ratio for one in advice.waiting)
            if is_open and now >= max(later) - _ALIKE_RATIO:
                return advised_field(sitting, advice)
        return ByAdvice().wants(sitting, t_s)


@dataclass(frozen=True, slots=True)
class ByRule:
    """Sends the release at a height, or at a time, whichever comes first, for one field."""

    name: str
    amsl_m: float
    until_s: float
    field: int = HOME
    steers_by_advice: bool = False

    def wants(self, sitting: Sitting, t_s: float) -> int | None:
        """Return the field of the rule, once it is time; after a burst at once."""
        height_m = sitting.height_m(t_s)
        is_high = height_m is not None and height_m >= self.amsl_m
        is_time = t_s >= self.until_s
        return self.field if is_high or is_time or sitting.is_seen_falling(t_s) else None


def advised_field(sitting: Sitting, advice: Advice) -> int:
    """Return the field that is advised, or the one with the best chance now."""
    if advice.release is not None:
        names = [one.name for one in sitting.planned.sortie.fields]
        return names.index(advice.release.field)
    return int(np.argmax([one.chance_ratio for one in advice.fields]))


def is_due(look: Look, t_s: float) -> bool:
    """Tell whether an advice, read at a moment, says to let go."""
    advice = look.advice
    if advice is None:
        return False
    if advice.release is None:
        now, *later = (one.chance_ratio for one in advice.waiting)
        return now > _ALIKE_RATIO and now >= max(later)
    is_past = t_s >= advice.release.release_by_after_launch_s
    return advice.level is Level.NOW or is_past


def by_plan(planned: Ensemble) -> ByRule:
    """Return the crew that does what the plan said in the morning, whatever it hears.

    Where the plan advises no release, it lets go just before the burst is likely.
    """
    chances = chances_of_heights(planned)
    decision = decide(planned, chances)
    if decision is None:
        return ByRule("plan", np.inf, _burst_s(planned) - RULE_BEFORE_S)
    best = decision.best
    until_s = float(chances.until_s[best])
    return ByRule("plan", float(chances.amsl_m[best]), until_s, decision.field)


def by_height(planned: Ensemble) -> ByRule:
    """Return the crew that lets go at 25 km and flies home."""
    return ByRule("25km", RULE_AMSL_M, np.inf)


def by_clock(planned: Ensemble) -> ByRule:
    """Return the crew that lets go 5 min before the burst of the plan and flies home."""
    return ByRule("5min", np.inf, _burst_s(planned) - RULE_BEFORE_S)


_CREWS: Final[dict[str, Callable[[Ensemble], Crew]]] = {
    "advice": lambda planned: ByAdvice(),
    "window": lambda planned: AtWindow(),
    "plan": by_plan,
    "25km": by_height,
    "5min": by_clock,
}
CREWS: Final = tuple(_CREWS)


def crew_of(name: str, planned: Ensemble) -> Crew:
    """Return a crew by its name. Raises InputError."""
    if name not in _CREWS:
        raise InputError("--crew", repr(name), ", ".join(CREWS))
    return _CREWS[name](planned)


def _burst_s(planned: Ensemble) -> float:
    """Return when half of the planned balloons have burst."""
    climbs = planned.climbs
    return quantile_moment_s(climbs.burst_ratio, climbs.tracks.step_s, 0.5)
