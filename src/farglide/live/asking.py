"""Asking: a flight as planned, the fixes that came, and one question of it."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from farglide.chances.advising import advice_of
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.informed import informed
from farglide.chances.onward import last_s
from farglide.errors import InputError
from farglide.outlook.advice import Advice
from farglide.rig.listening import listening_of
from farglide.sim.core.workers import Workers
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.passage import Launched, been_of
from farglide.track.reports import Fix

PLACE_SD_M: Final = 10.0
"""Of a satellite receiver's fix, where nothing else is stated; common practice, no source."""
LONGEST_S: Final = 9000.0
"""So far ahead climbs are followed: longer than any takes from the ground to its burst."""


def as_planned(sortie: Sortie, pack: Pack, grain: Grain, workers: Workers) -> Ensemble:
    """Return the draws of a flight from the hand, with its links: what each answer begins with."""
    drawn = drawn_ensemble(sortie, pack.sounding, grain, workers)
    return replace(drawn, listening=listening_of(sortie, pack.terrain, workers))


def advice_at(planned: Ensemble, fixes: Iterable[Fix], now_t_s: float) -> Advice:
    """Return what is advised at a moment, by the fixes that had come by then.

    The launch is that of the planned sortie. `now_t_s`: UTC seconds. Valid: while the balloon
    carries the glider. Raises InputError where there is no fix to begin with, or where no balloon
    could still be climbing.
    """
    launch = planned.sortie.launch
    now_s = now_t_s - launch.t_s
    known = (fix for fix in fixes if fix.t_s is not None and fix.t_s <= now_t_s)
    been = been_of(known, Launched(utc_s=launch.t_s), planned.air.scene)
    if not len(been.t_s):
        remedy = "Look at the time of the launch, and from where heights count."
        raise InputError("fixes", "none", "one with a height, after the launch", remedy)
    found = informed(planned, been, PLACE_SD_M, float(been.t_s[-1]) + LONGEST_S)
    ends_s = last_s(found.ensemble)
    if not now_s <= ends_s:
        remedy = "The last fix is too old: what climbs no more is looked for with farglide search."
        raise InputError("--at", f"{now_s:.0f} s after the launch", f"up to {ends_s:.0f} s", remedy)
    return advice_of(found, float(been.t_s[-1]), now_s)
