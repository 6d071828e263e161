"""Unsteered: where balloon, remains and a glider left to itself come down, and when doors shut."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ahead import aloft_at
from farglide.chances.ensemble import Ensemble
from farglide.chances.offsets import place_deg
from farglide.earth.geodesy import EastNorth
from farglide.fall import Story, StoryKind, parachute_story, remains_story
from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.plan.ascent import spread_of
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point, Tracks
from farglide.sim.fly.climb import Aloft, Clock, climb_on
from farglide.sim.fly.descend import Falls, descend, plunges, trails
from farglide.sim.fly.level import levelled
from farglide.sim.fly.passage import aim, east_north_m, quickest_way
from farglide.sim.reach.reach import Descent

FREED: Final = "freed balloon and line, after its own burst"
TANGLED: Final = "all tangled after a burst"
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
    released = climb_states(ensemble, moment)
    _, burst, remains = freed(ensemble, aloft_at(ensemble, moment), 60.0)
    found = [_told(ensemble, FREED, burst, remains, area_share(ensemble))]
    found += [
        _told(ensemble, what, released, story, share) for what, story, share in stories(ensemble)
    ]
    found.append(_told(ensemble, TANGLED, bursts(ensemble), *tangled(ensemble)))
    if ensemble.sortie.train.canopy_m is not None:
        canopy = parachute_story(
            ensemble.sortie.hanging_kg,
            ensemble.sortie.train.canopy_m,
            ensemble.sortie.train.canopy_drag,
        )
        alike = np.ones(len(ensemble.draws.glide_factor))
        found.append(_told(ensemble, "all under the parachute", bursts(ensemble), canopy, alike))
    return tuple(one for one in found if one is not None)


def stories(ensemble: Ensemble) -> list[tuple[str, Story, FloatArray]]:
    """Return how the glider comes down unsteered, as far as the crew has measured it.

    Each with its name, and by how much each draw sinks faster or slower.
    """
    glider, found = ensemble.sortie.glider, []
    for what, kind, known in (
        ("glider, hands off", StoryKind.CIRCLE, glider.hands_off_sink_eas_mps),
        ("glider in a firm spiral", StoryKind.SPIRAL, glider.spiral_sink_eas_mps),
        ("glider in a spin", StoryKind.SPIN, glider.spin_sink_eas_mps),
    ):
        if known is not None:
            share = np.exp(known.spread_ratio * ensemble.draws.story_normal[:, 0])
            found.append((what, Story(kind=kind, sink_eas_mps=known.value), share))
    return found


def tangled(ensemble: Ensemble) -> tuple[Story, FloatArray]:
    """Return the fall of all together after a burst, and each draw's share of it."""
    return _remains(ensemble), area_share(ensemble)


def area_share(ensemble: Ensemble) -> FloatArray:
    """Return how much faster or slower each draw's remains sink: as the root of the drag area."""
    ratio = ensemble.sortie.train.remains_drag_area_m2.spread_ratio
    share: FloatArray = np.exp(-0.5 * ratio * ensemble.draws.story_normal[:, 1])
    return share


def _remains(ensemble: Ensemble) -> Story:
    sortie = ensemble.sortie
    mass_kg = sortie.balloon.mass_kg + sortie.hanging_kg
    return remains_story(mass_kg, sortie.train.remains_drag_area_m2.value)


def climb_states(ensemble: Ensemble, moment: int) -> FloatArray:
    """Return time, height and offsets of every draw at a moment of the climb, (n_draws, 4)."""
    tracks = ensemble.climbs.tracks
    t = np.full(len(tracks.amsl_m), moment * tracks.step_s)
    return np.stack(
        [t, tracks.amsl_m[:, moment], tracks.north_rad[:, moment], tracks.east_rad[:, moment]],
        axis=1,
    )


def bursts(ensemble: Ensemble) -> FloatArray:
    """Return time, height and offsets of every draw's burst, (n_draws, 4)."""
    burst = ensemble.climbs.burst
    return np.stack([burst.after_launch_s, burst.amsl_m, burst.north_rad, burst.east_rad], axis=1)


def ground_m(ensemble: Ensemble) -> float:
    """Return the height at which what nobody steers counts as down."""
    return (
        ensemble.sortie.fields[0].amsl_m
        if ensemble.sortie.fields
        else ensemble.sortie.launch.amsl_m
    )


def freed(ensemble: Ensemble, released: Aloft, step_s: float) -> tuple[Tracks, FloatArray, Story]:
    """Return how the balloon and its line go on after a release: climbs, bursts, and the fall."""
    train = ensemble.sortie.train
    balloon = ensemble.climbs.balloon._replace(hanging_kg=train.line_kg)
    end_s = float(np.nanmin(released.states[:, 0])) + _CLIMBS_ON_S
    clock = Clock(float("nan"), step_s, end_s)
    tracks, burst = climb_on(
        ensemble.air.scene, ensemble.draws.swarm, balloon, released, clock, ensemble.workers
    )
    starts = np.stack([burst.after_launch_s, burst.amsl_m, burst.north_rad, burst.east_rad], axis=1)
    mass_kg = ensemble.sortie.balloon.mass_kg + train.line_kg
    return tracks, starts, remains_story(mass_kg, train.remains_drag_area_m2.value)


def _told(
    ensemble: Ensemble, what: str, starts: FloatArray, story: Story, share: FloatArray
) -> Unsteered | None:
    falls = Falls(starts, story.sink_eas_mps * share, ground_m(ensemble))
    ends = descend(ensemble.air.scene, ensemble.draws.swarm, falls, ensemble.workers)
    keep = ~np.isnan(ends[:, 0])
    if keep.sum() < 2:
        return None
    from_m, to_m = _metres(ensemble, starts[keep]), _metres(ensemble, ends[keep])
    middle = np.median(ends[keep], axis=0)
    middle_m = np.median(to_m, axis=0)
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, float(middle[2]), float(middle[3]))
    return Unsteered(
        what=what,
        from_after_launch_s=float(np.median(starts[keep, 0])),
        from_amsl_m=float(np.median(starts[keep, 1])),
        down_after_launch_s=spread_of(ends[keep, 0]),
        drift_m=float(np.median(np.hypot(*(to_m - from_m).T))),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        radius_m=float(np.quantile(np.hypot(*(to_m - middle_m).T), 0.9)),
    )


def _metres(ensemble: Ensemble, states: FloatArray) -> FloatArray:
    return np.array([east_north_m(ensemble.air.scene, north, east) for _, _, north, east in states])


def seconds_left(plain: Ensemble, moment: int) -> tuple[SecondsLeft, ...]:
    """Return how long each field stays in reach after a burst at a moment, still tied on.

    The error-free flight falls with the remains from rest, drifting with the wind; at each moment
    the release would cost its own drop and pull-out.
    """
    after_s = np.arange(0.0, _LONGEST_S, _STEP_S)
    starts, sinks_mps = climb_states(plain, moment), np.array([_remains(plain).sink_eas_mps])
    falls = Falls(starts, sinks_mps, _lowest_amsl_m(plain))
    fallen = plunges(plain.air.scene, plain.draws.swarm, falls, after_s)
    names = [field.name for field in plain.sortie.fields]
    open_s: dict[str, float] = {}
    still = list(range(len(names)))
    for after, *place in zip(after_s, *(row[0] for row in fallen), strict=True):
        if np.isnan(place[0]):
            break
        here = begin_glide(plain.air.scene, plain.released, 0, Point(0.0, *place))
        still = [i for i in still if _in_reach(plain, here, i)]
        open_s |= {names[i]: float(after) for i in still}
        if not still:
            break
    burst_amsl_m = float(plain.climbs.tracks.amsl_m[0, moment])
    return tuple(
        SecondsLeft(burst_amsl_m=burst_amsl_m, field=name, seconds_s=open_s[name])
        for name in names
        if name in open_s
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
    sinks = {story.kind: story.sink_eas_mps for _, story, _ in stories(plain)}
    if kind not in sinks:
        return None
    scene, swarm = plain.air.scene, plain.draws.swarm
    level = levelled(scene, plain.released, climb_states(plain, moment))
    falls = Falls(level, np.array([sinks[kind]]), _lowest_amsl_m(plain))
    down_s = float(descend(scene, swarm, falls)[0, 0])
    clock_s = np.arange(level[0, 0], down_s, _DOOR_STEP_S)
    trail = trails(scene, swarm, falls, clock_s)
    held_s, released_s = 0.0, moment * plain.climbs.tracks.step_s
    for t_s, *place in zip(clock_s, *(row[0] for row in trail), strict=True):
        if not _in_time(plain, Point(float(t_s), *place), field):
            break
        held_s = float(t_s) - released_s
    return held_s


def _in_time(plain: Ensemble, at: Point, field: int) -> bool:
    """Tell whether a field is in reach from a place, held, and taken before packs and light end."""
    if not _in_reach(plain, at, field):
        return False
    descent = Descent(float(at.amsl_m), float(plain.goals.arrival_amsl_m[field]))
    needed_s, _ = quickest_way(plain.reach.ways, descent, _away(plain, at, field))
    return at.t_s + needed_s <= float(plain.reach.haste.end_s[0])


def _in_reach(plain: Ensemble, at: Point, field: int) -> bool:
    free, goals = plain.reach.ways.free, plain.goals
    arrival_m, ground_m = float(goals.arrival_amsl_m[field]), float(goals.ground_amsl_m[field])
    if at.amsl_m <= arrival_m:
        return False
    held_m = aim(free, Descent(arrival_m, ground_m), EastNorth(0.0, 0.0)).margin_m
    descent = Descent(float(at.amsl_m), arrival_m)
    return held_m >= 0.0 and aim(free, descent, _away(plain, at, field)).margin_m >= 0.0


def _away(plain: Ensemble, at: Point, field: int) -> EastNorth:
    here = Offset(at.north_rad, at.east_rad)
    return apart_m(plain.air.scene.frame, here, field_offset(plain.goals, field))
