"""Flown: the draws of one launch time and anchor, asked from each spot near it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from farglide.arrays import FloatArray
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, drawn_ensemble, with_balloon
from farglide.chances.heights import chances_by
from farglide.chances.spots import (
    Asking,
    Spots,
    asking_of,
    fields_from,
    spot_at,
)
from farglide.chances.window import Decision, window_of
from farglide.earth.state import Place
from farglide.outlook.season import ComparedSpot
from farglide.plan.fill import with_solved_fill, with_value
from farglide.rig.drives import manned_s
from farglide.rig.listening import Listening
from farglide.season.world import World
from farglide.sim.core.workers import Workers
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

_FEWEST_DRAWS: Final = 20
"""Links are asked for so many draws: what they have left differs little between draws."""


class Wanted(NamedTuple):
    """What is flown: when, from which anchor, with which neck lifts (none: as the file has it)."""

    launch_t_s: float
    anchor: Place
    necks_kg: tuple[float, ...] = ()
    run_t_s: float | None = None  # as if the forecast were of this run


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One spot asked with some draws: its chances, the window of each field, who hears it."""

    asking: Asking
    spot: ComparedSpot
    at: Spots
    chances: Chances
    windows: tuple[Decision, ...]
    is_manned: bool

    @property
    def ensemble(self) -> Ensemble:
        """Return the draws, launched at the anchor."""
        return self.asking.ensemble

    @property
    def counts(self) -> tuple[float, ...]:
        """Return the chance of each field from the height from which releases count."""
        any_height = self.asking.from_amsl_m <= 0.0
        return tuple(
            one.chance_ratio if self.is_manned and (one.above_wanted or any_height) else 0.0
            for one in self.windows
        )


def ensembles(
    world: World, wanted: Wanted, grain: Grain, listening: Listening | None, workers: Workers
) -> Iterator[Ensemble]:
    """Yield the draws of each fill. `listening`: of the stands, the same for every launch.

    Raises InputError where the winds do not hold the flight.
    """
    sounding = world.winds(wanted.anchor, wanted.launch_t_s)
    if wanted.run_t_s is not None:
        sounding = replace(sounding, run_t_s=wanted.run_t_s)
    moved = _moved(world.flight.sortie, wanted)
    solved = with_solved_fill(replace(world.flight, sortie=moved), sounding).sortie
    fills = [with_value(solved, "balloon", "neck_lift_kg", one) for one in wanted.necks_kg]
    first, *others = fills or [solved]
    made = drawn_ensemble(first, sounding, grain, workers)
    made = replace(made, listening=listening)
    yield made
    for sortie in others:
        yield with_balloon(made, sortie)


def asked_from(
    ensemble: Ensemble, spots: tuple[ComparedSpot, ...], stated: Sortie
) -> Iterator[Asked]:
    """Yield each spot, asked with draws that are shifted there. `stated`: launched as stated."""
    asking = asking_of(ensemble)
    for spot in spots:
        at = spot_at(ensemble, asking.axis_rad, spot.place)
        ready_s = manned_s(stated, at.lat_deg, at.lon_deg)[0]
        here = _manned(asking.ensemble, ready_s)
        chances = chances_by(here, asking.every, fields_from(here, at))
        n_fields = len(ensemble.sortie.fields)
        yield Asked(
            asking=replace(asking, ensemble=here),
            spot=spot,
            at=at,
            chances=chances,
            windows=tuple(window_of(here, chances, f) for f in range(n_fields)),
            is_manned=_is_in_time(here, ready_s, float(asking.every.until_s[-1])),
        )


def _manned(ensemble: Ensemble, ready_s: FloatArray) -> Ensemble:
    """Return draws whose stands are manned when the car gets there, by the drives as stated."""
    listening = ensemble.listening
    if listening is None:
        return ensemble
    told = replace(listening, ready_s=ready_s, fewest_draws=_FEWEST_DRAWS)
    return replace(ensemble, listening=told)


def _is_in_time(ensemble: Ensemble, ready_s: FloatArray, last_s: float) -> bool:
    """Tell whether any stand is manned before the last balloon is gone, where links are needed."""
    listening = ensemble.listening
    return listening is None or not listening.needed or bool(ready_s.min() <= last_s)


def _moved(sortie: Sortie, wanted: Wanted) -> Sortie:
    """Return the flight launched at another time, at an anchor."""
    there = replace(
        sortie.launch,
        lat_deg=wanted.anchor.lat_deg,
        lon_deg=wanted.anchor.lon_deg,
        t_s=wanted.launch_t_s,
    )
    return replace(sortie, launch=there)
