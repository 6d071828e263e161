"""Planned: a flight's case, its chances over the climb, and the release decided on."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.case import Case, case_of, moment_at, without_tables
from farglide.chances.chances import Chances
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_by_clock, chances_of_heights
from farglide.chances.trial import Trial, coarse_trial, median_burst_s, moments_of
from farglide.chances.window import Decision
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.fill import with_solved_fill
from farglide.plan.home.homeward import Homeward, homeward
from farglide.plan.polarfit import with_fitted_polar
from farglide.rig.gear import goals_of
from farglide.sim.core.release import Goals
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

_CLOCK_EVERY_S: Final = 60.0
_NEAR_S: Final = 900.0

Progress = Callable[[str], None]


def no_progress(_: str) -> None:
    """Tell nobody what is being worked on."""


class ClockChance(NamedTuple):
    """The best clock time for a release by the clock alone, and its chance."""

    after_launch_s: float
    chance_ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What every answer about a planned flight begins with.

    `base`: the same flight computed coarsely, for the chosen field alone; `by_clock`: of the chosen
    field, None without a decision or where the clock leads anyway. The drawn reach tables
    are let go: what asks more of the draws asks the coarse ones.
    """

    case: Case
    chances: Chances
    decision: Decision | None
    base: Trial
    by_clock: ClockChance | None = None

    @property
    def field(self) -> str:
        """Return the name of the chosen field, empty without a decision."""
        return self.case.sortie.fields[self.decision.field].name if self.decision else ""

    @property
    def release_s(self) -> float:
        """Return when the release is due at the latest; the median burst without a decision."""
        return self.decision.release_by_s if self.decision else median_burst_s(self.case.drawn)

    @property
    def drawn_moment(self) -> int:
        """Return the release as an index on the clock of the drawn climbs."""
        return moment_at(self.case.drawn, self.release_s)

    @property
    def moment(self) -> int:
        """Return the release as an index on the clock of the climb without errors."""
        step_s = self.case.drawn.climbs.tracks.step_s
        return moment_at(self.case.plain, self.drawn_moment * step_s)

    @property
    def after_launch_s(self) -> float:
        """Return when the release is, on the clock of the climb."""
        return float(self.moment * self.case.plain.climbs.tracks.step_s)

    @property
    def released_s(self) -> float | None:
        """Return when the release is, on the clock of the climb; None without a decision."""
        return self.after_launch_s if self.decision is not None else None

    def way_home(self) -> Homeward | None:
        """Return the flights home without errors, None without a decision or out of reach."""
        if self.decision is None:
            return None
        return homeward(self.case.plain, self.moment, self.decision.field)


def settled(flight: FlightFile, pack: Pack) -> FlightFile:
    """Return the flight with its polar fitted and its fill solved in the air of a pack."""
    return with_solved_fill(with_fitted_polar(flight), pack.sounding)


def planned(
    sortie: Sortie,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> Planned:
    """Return a flight's case in the air of a pack, asked over the whole climb.

    `progress` is told, in words, what is being worked on.
    """
    progress("flying the draws")
    case = case_of(sortie, pack, grain, workers)
    progress("asking every field at every height")
    chances = chances_of_heights(case.drawn)
    decision = decide(case.drawn, chances)
    by_clock = clock_chance(case.drawn, chances, decision)
    case = without_tables(case)
    base = coarse_trial(case.drawn, decision)
    return Planned(case=case, chances=chances, decision=decision, base=base, by_clock=by_clock)


def clock_chance(
    ensemble: Ensemble, chances: Chances, decision: Decision | None
) -> ClockChance | None:
    """Return the best release of the chosen field by the clock alone, near the window."""
    if decision is None or not chances.by_height[decision.best]:
        return None
    every = max(round(_CLOCK_EVERY_S / ensemble.climbs.tracks.step_s), 1)
    moments = moments_of(ensemble)[::every]
    away_s = np.abs(moments * ensemble.climbs.tracks.step_s - decision.release_by_s)
    goals = Goals(*(one[decision.field : decision.field + 1] for one in ensemble.goals))
    found = chances_by_clock(ensemble, moments[away_s <= _NEAR_S], goals)
    wanted_m = ensemble.sortie.wish.wanted_amsl_m if decision.above_wanted else 0.0
    chance = np.where(found.amsl_m >= wanted_m, found.chance_ratio[:, 0], 0.0)
    best = int(np.argmax(chance))
    return ClockChance(float(found.after_launch_s[best]), float(chance[best]))


def for_all_fields(found: Planned) -> Case:
    """Return the coarse draws of a planned flight with all its fields, to be asked more."""
    sortie = found.case.sortie
    goals = goals_of(sortie, sortie.fields)
    every = replace(found.base.ensemble, sortie=sortie, goals=goals)
    return replace(found.case, drawn=every)
