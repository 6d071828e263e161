"""Unsteered: where balloon, remains and a glider left to itself come down, and when doors shut."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ahead import aloft_at
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import Fall, fall_of, falls_of, freed_fall, glider_falls, tangled
from farglide.earth.state import place_deg
from farglide.fall import StoryKind, parachute_story
from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.plan.ascent import nine_in_ten_m, spread_of
from farglide.plan.home.glides import is_held, levelled_at, on_the_way, tabled_way
from farglide.sim.core.tracks import Point, Tracks
from farglide.sim.fly.climb import Aloft, Clock, climb_on
from farglide.sim.fly.descend import Falls, descend, plunges, trails
from farglide.sim.fly.level import levelled
from farglide.sim.fly.passage import from_launch_m

_CLIMBS_ON_S: Final = 3600.0
_LONGEST_S: Final = 1800.0
_STEP_S: Final = 2.0
_DOOR_STEP_S: Final = 6.0
_ABOVE_BASE_M: Final = 500.0


def unsteered(ensemble: Ensemble, moment: int) -> tuple[Unsteered, ...]:
    """Return what would come down by itself for a release at a moment of the climb.

    The freed balloon climbs on with its line, bursts and falls; the glider circles, spirals or
    spins if the crew has measured how; a burst beforehand brings all down tangled, or under the
    parachute on the line.
    """
    sortie, released = ensemble.sortie, aloft_at(ensemble, moment)
    _, freed_bursts = freed(ensemble, released, 60.0)
    found = [(freed_fall(ensemble), freed_bursts)]
    found += [(fall, released.states) for fall in glider_falls(ensemble)]
    bursts, train = np.stack(ensemble.climbs.burst, axis=1), sortie.train
    found.append((tangled(ensemble), bursts))
    if train.canopy_m is not None:
        story = parachute_story(sortie.hanging_kg, train.canopy_m, train.canopy_drag)
        alike = np.ones(len(ensemble.draws.glide_factor))
        fall = fall_of(ensemble, "all under the parachute", story, alike)
        found.append((fall, bursts))
    told = (_told(ensemble, fall, starts) for fall, starts in found)
    return tuple(one for one in told if one is not None)


def freed(ensemble: Ensemble, released: Aloft, step_s: float) -> tuple[Tracks, FloatArray]:
    """Return how the balloon and its line climb on after a release, and burst, (n_draws, 4)."""
    balloon = ensemble.climbs.balloon._replace(hanging_kg=ensemble.sortie.train.line_kg)
    end_s = float(np.nanmin(released.states[:, 0])) + _CLIMBS_ON_S
    clock = Clock(float("nan"), step_s, end_s)
    scene, swarm = ensemble.air.scene, ensemble.draws.swarm
    tracks, burst = climb_on(scene, swarm, balloon, released, clock, ensemble.workers)
    return tracks, np.stack(burst, axis=1)


def _told(ensemble: Ensemble, fall: Fall, starts: FloatArray) -> Unsteered | None:
    scene, swarm = ensemble.air.scene, ensemble.draws.swarm
    ends = descend(scene, swarm, falls_of(ensemble, fall, starts), ensemble.workers)
    keep = ~np.isnan(ends[:, 0])
    if keep.sum() < 2:
        return None
    starts, ends = starts[keep], ends[keep]
    from_m, to_m = (
        np.array([from_launch_m(scene, north, east) for _, _, north, east in states])
        for states in (starts, ends)
    )
    middle_m = np.median(to_m, axis=0)
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, *np.median(ends[:, 2:], axis=0))
    return Unsteered(
        what=fall.what,
        from_after_launch_s=float(np.median(starts[:, 0])),
        from_amsl_m=float(np.median(starts[:, 1])),
        down_after_launch_s=spread_of(ends[:, 0]),
        drift_m=float(np.median(np.hypot(*(to_m - from_m).T))),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        radius_m=nine_in_ten_m(*(to_m - middle_m).T),
    )


def seconds_left(plain: Ensemble, moment: int) -> tuple[SecondsLeft, ...]:
    """Return how long each field stays in reach after a burst at a moment, still tied on.

    The error-free flight falls with the remains from rest, drifting with the wind; at each moment
    the release would cost its own drop and pull-out.
    """
    after_s = np.arange(0.0, _LONGEST_S, _STEP_S)
    starts = aloft_at(plain, moment).states
    falls = Falls(starts, tangled(plain).sinks, _lowest_amsl_m(plain))
    fallen = plunges(plain.air.scene, plain.draws.swarm, falls, after_s)
    fields = plain.sortie.fields
    still, open_s = list(range(len(fields))), dict[int, float]()
    for after, *place in zip(after_s, *(row[0] for row in fallen), strict=True):
        if np.isnan(place[0]) or not still:
            break
        level = levelled_at(plain, Point(float(after), *place))._replace(t_s=float(after))
        flights = [(i, on_the_way(plain, level, i)) for i in still]
        still = [i for i, flight in flights if flight is not None and is_held(plain, flight)]
        open_s |= dict.fromkeys(still, float(after))
    burst_amsl_m = float(plain.climbs.tracks.amsl_m[0, moment])
    return tuple(
        SecondsLeft(burst_amsl_m=burst_amsl_m, field=fields[i].name, seconds_s=open_s[i])
        for i in sorted(open_s)
    )


def _lowest_amsl_m(ensemble: Ensemble) -> float:
    return ensemble.air.column.layers.base_amsl_m + _ABOVE_BASE_M


def door_life_s(
    plain: Ensemble, moment: int, field: int, kind: StoryKind = StoryKind.CIRCLE
) -> float | None:
    """Return for how long after a release that nobody steers a field can still be taken.

    The error-free glider comes down at the sink the crew has measured for this story, drifting with
    the wind; the field is held while it is in reach and packs and light last for the quickest way.
    None where that sink is not stated; 0 where the field is shut at the release.
    """
    fall = next((fall for fall in glider_falls(plain) if fall.story.kind is kind), None)
    if fall is None:
        return None
    scene, swarm = plain.air.scene, plain.draws.swarm
    level = levelled(scene, plain.released, aloft_at(plain, moment).states)
    falls = Falls(level, fall.sinks, _lowest_amsl_m(plain))
    down_s = float(descend(scene, swarm, falls)[0, 0])
    clock_s = np.arange(level[0, 0], down_s, _DOOR_STEP_S)
    trail = trails(scene, swarm, falls, clock_s)
    end_s, held_s = float(plain.reach.haste.end_s[0]), 0.0
    for t_s, *place in zip(clock_s, *(row[0] for row in trail), strict=True):
        flight = on_the_way(plain, Point(float(t_s), *place), field)
        if flight is None or not is_held(plain, flight):
            break
        if t_s + tabled_way(plain, flight).seconds > end_s:
            break
        held_s = float(t_s) - moment * plain.climbs.tracks.step_s
    return held_s
