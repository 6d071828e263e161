"""Planned: a flight's case, its chances over the climb, and the release decided on."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from farglide.chances.case import Case, case_of, moment_at, without_tables
from farglide.chances.chances import Chances
from farglide.chances.heights import chances_of_heights
from farglide.chances.trial import Trial, coarse_trial, median_burst_s
from farglide.chances.window import Decision, decide
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.fill import with_solved_fill
from farglide.plan.home.homeward import Homeward, homeward
from farglide.plan.polarfit import with_fitted_polar
from farglide.rig.gear import goals_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

Progress = Callable[[str], None]


def no_progress(_: str) -> None:
    """Tell nobody what is being worked on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """What every answer about a planned flight begins with.

    `base`: the same flight computed coarsely, for the chosen field alone. The drawn reach tables
    are let go: what asks more of the draws asks the coarse ones.
    """

    case: Case
    chances: Chances
    decision: Decision | None
    base: Trial

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
    case = without_tables(case)
    progress("trying what would make it better")
    base = coarse_trial(case.drawn, decision)
    return Planned(case=case, chances=chances, decision=decision, base=base)


def for_all_fields(found: Planned) -> Case:
    """Return the coarse draws of a planned flight with all its fields, to be asked more."""
    sortie = found.case.sortie
    goals = goals_of(sortie, sortie.fields)
    every = replace(found.base.ensemble, sortie=sortie, goals=goals)
    return replace(found.case, drawn=every)
