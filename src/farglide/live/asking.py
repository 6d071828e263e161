"""Asking: a flight as planned, the fixes that came, and one question of it."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.atlas.terrain import Terrain
from farglide.chances.advising import advice_of
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.informed import Informed, informed
from farglide.chances.onward import last_s, seen_of
from farglide.earth.state import place_deg
from farglide.errors import InputError
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.outlook.advice import Advice
from farglide.plan.ascent import nine_in_ten_m
from farglide.rig.listening import listening_of
from farglide.sim.core.rule import passages_s
from farglide.sim.core.workers import Workers
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.handover.sentence import PLACE_SD_M as HANDED_SD_M
from farglide.track.passage import Launched, been_of
from farglide.track.read import NOTHING, Read
from farglide.track.reports import Fix

PLACE_SD_M: Final = 10.0
"""Of a satellite receiver's fix, where nothing else is stated; common practice, no source."""
KEPT_S: Final = 1.0
"""Between fixes that are kept to learn from."""
HANDED: Final = "over"
"""The feed of what the other car said."""
LONGEST_S: Final = 9000.0
"""So far ahead climbs are followed: longer than any takes from the ground to its burst."""


def as_planned(sortie: Sortie, pack: Pack, grain: Grain, workers: Workers) -> Ensemble:
    """Return the draws of a flight from the hand, with its links: what each answer begins with."""
    drawn = drawn_ensemble(sortie, pack.sounding, grain, workers)
    return replace(drawn, listening=listening_of(sortie, pack.terrain, workers))


class Asked(NamedTuple):
    """A flight as its climb has made it, when it was seen last, and when it is asked about."""

    known: Informed
    seen_s: float
    now_s: float


def asked_at(
    planned: Ensemble, fixes: Iterable[Fix], now_t_s: float, read: Read = NOTHING
) -> Asked:
    """Return what is known at a moment, by the fixes that had come by then, and what was read.

    The launch is that of the planned sortie. Of fixes that come faster the ride keeps one a second,
    and so does this. `now_t_s`: UTC seconds. Valid: while the balloon carries the glider. Raises
    InputError where there is no fix to begin with, or where no balloon could still be climbing.
    """
    launch = planned.sortie.launch
    now_s = now_t_s - launch.t_s
    known = thinned(fix for fix in fixes if fix.t_s is not None and fix.t_s <= now_t_s)
    been = been_of(known, Launched(utc_s=launch.t_s), planned.air.scene)
    if not len(been.t_s):
        remedy = "Look at the time of the launch, and from where heights count."
        raise InputError("fixes", "none", "one with a height, after the launch", remedy)
    until_s = max([float(been.t_s[-1]), *read.times_s]) + LONGEST_S
    found = informed(planned, been, place_sd_m(known), until_s, read)
    ends_s = last_s(found.ensemble) - found.ensemble.climbs.tracks.step_s
    if not now_s <= ends_s:
        remedy = "The last fix is too old: what climbs no more is looked for with farglide search."
        raise InputError("--at", f"{now_s:.0f} s after the launch", f"up to {ends_s:.0f} s", remedy)
    return Asked(found, float(been.t_s[-1]), now_s)


def advice_at(planned: Ensemble, fixes: Iterable[Fix], now_t_s: float) -> Advice:
    """Return what is advised at a moment, as `asked_at` knows it. Raises InputError."""
    return advice_of(*asked_at(planned, fixes, now_t_s))


def situation_at(
    planned: Ensemble,
    fixes: Iterable[Fix],
    now_t_s: float,
    terrain: Terrain | None = None,
    told: Told | None = None,
) -> Situation:
    """Return a flight ready for any question, as `asked_at` knows it. Raises InputError."""
    return situation_of(asked_at(planned, fixes, now_t_s), terrain, told)


def situation_of(
    asked: Asked, terrain: Terrain | None = None, told: Told | None = None
) -> Situation:
    """Return a flight as it is known, ready for any question."""
    known, advice = asked.known, advice_of(*asked)
    last = seen_of(known, asked.seen_s)
    return Situation(known=known, advice=advice, terrain=terrain, told=told or Told(), last=last)


def place_sd_m(fixes: Sequence[Fix]) -> float:
    """Return the error of a fix, each component: the root mean square of all of them.

    What the other car told is known to 100 m.
    """
    handed = sum(one.feed == HANDED for one in fixes) / max(len(fixes), 1)
    return math.sqrt((1.0 - handed) * PLACE_SD_M**2 + handed * HANDED_SD_M**2)


def thinned(fixes: Iterable[Fix]) -> tuple[Fix, ...]:
    """Return fixes by their times as the ride keeps them: one a second, and the newest."""
    rising = sorted((one for one in fixes if one.t_s is not None), key=_t_s)
    kept: list[Fix] = []
    for one in rising:
        if not kept or _t_s(one) - _t_s(kept[-1]) >= KEPT_S:
            kept.append(one)
    if rising and rising[-1] is not kept[-1]:
        kept.append(rising[-1])
    return tuple(kept)


def by_plan(planned: Ensemble, amsl_m: float, t_s: float) -> tuple[Fix, float]:
    """Return where the plan has the balloon at a height alone, and within what 9 in 10 draws lie.

    Raises InputError for a height that hardly a draw gets to.
    """
    tracks, launch = planned.climbs.tracks, planned.sortie.launch
    passed_s = passages_s(tracks.amsl_m, tracks.step_s, np.array([amsl_m]))[:, 0]
    if np.isnan(passed_s).mean() > 0.5:
        top_m = float(np.median(np.nanmax(tracks.amsl_m, axis=1)))
        raise InputError("height", f"{amsl_m:.0f} m", f"up to about {top_m:.0f} m, as planned")
    t_steps = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    offsets = np.array([
        [np.interp(at_s, t_steps, one[i]) for one in (tracks.north_rad, tracks.east_rad)]
        for i, at_s in enumerate(passed_s.tolist()) if np.isfinite(at_s)
    ])  # fmt: skip
    north_rad, east_rad = (float(one) for one in np.median(offsets, axis=0))
    places_m = [from_launch_m(planned.air.scene, *row) for row in offsets.tolist()]
    away_m = np.array(places_m) - np.array(from_launch_m(planned.air.scene, north_rad, east_rad))
    lat_deg, lon_deg = place_deg(launch, north_rad, east_rad)
    fix = Fix(feed="plan", lat_deg=lat_deg, lon_deg=lon_deg, t_s=t_s, height_m=amsl_m)
    return fix, nine_in_ten_m(*away_m.T)


def _t_s(fix: Fix) -> float:
    return fix.t_s or 0.0
