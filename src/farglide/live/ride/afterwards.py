"""Advised afterwards: one advice of a flight that hangs on no whole balloon any more."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.advising import air_now, place_now
from farglide.chances.afterwards import Loosened, loose
from farglide.chances.comingdown import comes_down
from farglide.chances.ensemble import Ensemble
from farglide.chances.steering import (
    Along,
    Asks,
    Weights,
    fields_after,
    level_after,
    steered_for,
)
from farglide.earth.look import look
from farglide.earth.state import Place, place_of
from farglide.live.after.steer import home_way, steer_now
from farglide.live.after.wayahead import WayAhead
from farglide.live.ride.needs import place_within_s
from farglide.live.ride.slow import Tables
from farglide.outlook.advice import Advice, FieldNow, Freshness, NeedNow, PlaceNow
from farglide.outlook.after import AfterNow, AimNow, ComesDown, Stage, SteerNow, StoryName, StoryNow
from farglide.rig.links import beam_deg, gear_of
from farglide.sim.core.release import begin_glide
from farglide.sim.core.states import States
from farglide.sim.core.tracks import Point

_STORIES: Final[dict[Stage, tuple[tuple[StoryName, float], ...]]] = {
    Stage.CARRIED: (("carried", 1.0),),
    Stage.DROPPED: (("gliding", 0.9), ("hands off", 0.05), ("falling with remains", 0.05)),
    Stage.GLIDING: (("gliding", 1.0),),
    Stage.TIED_ON: (("falling with remains", 1.0),),
    Stage.UNSTEERED: (("hands off", 0.6), ("spiral", 0.2), ("gliding", 0.2)),
    Stage.DOWN: (("down", 1.0),),
}


class Asked(NamedTuple):
    """What is asked of a loose flight: by which tables, at what, where its draws are, when.

    `was`: the field advised last, "" for none; `stories`: what it may be at; `at_stand`: at which
    the car is, None on the road or where nobody knows.
    """

    made: Tables
    loosened: Loosened
    is_marked: bool
    now: States
    now_s: float
    stories: tuple[StoryNow, ...]
    was: str
    needs: tuple[NeedNow, ...]
    at_stand: int | None = None


def after_advice(asked: Asked, refused: tuple[str, ...] = ()) -> Advice:
    """Return what is advised now. `refused`: fields on which nobody may land any more."""
    ensemble, loosened = asked.made.of.known.ensemble, asked.loosened
    found = loose(ensemble, loosened, asked.now)
    ahead = _ahead(asked)
    fields = fields_after(ensemble, found, _weights(asked, ensemble), _along(ahead))
    fields = tuple(one for one in fields if one.name not in refused)
    name = steered_for(fields, ensemble.sortie.wish, asked.was)
    aim = next((one for one in fields if one.name == name), None)
    if ahead is not None and ensemble.sortie.fields[ahead.field].name != name:
        fields = tuple(replace(one, until_after_launch_s=None, then=None) for one in fields)
        ahead = None
    steer = None if aim is None else _steer(asked, aim)
    barrier = None if ahead is None else ahead.barrier
    if barrier is not None and asked.now_s > barrier.edge_after_launch_s:
        barrier = None
    place = place_now(ensemble, found.states, loosened.seen.after_launch_s)
    agl_m = place.amsl_m - _ground_m(ensemble, name)
    asks = Asks(loosened.stage, asked.is_marked, asked.now_s, agl_m, barrier)
    age_s = asked.now_s - loosened.seen.after_launch_s
    data = Freshness.for_need(age_s, place_within_s(loosened.stage, agl_m))
    return Advice(
        after_launch_s=asked.now_s,
        level=level_after(asks, fields, name),
        data=data,
        place=place,
        fields=fields,
        air=air_now(asked.made.of.known, place.amsl_m),
        stage=loosened.stage,
        stories=asked.stories,
        needs=(NeedNow(what="place", data=data, age_s=age_s), *asked.needs),
        after=AfterNow(
            since_after_launch_s=loosened.left.after_launch_s,
            is_marked=asked.is_marked,
            steer=steer,
            barrier=barrier,
            links=() if ahead is None else ahead.links,
            aim=_aim(asked, place),
            landing=None if ahead is None else ahead.landing,
            comes_down=_comes_down(asked),
            comes_free_ratio=_comes_free(ensemble, loosened.stage),
        ),
    )


def stories_of(stage: Stage) -> tuple[StoryNow, ...]:
    """Return what a flight may be at, by its stage alone."""
    told = _STORIES[stage]
    return tuple(StoryNow(story=story, chance_ratio=ratio) for story, ratio in told)


def _ahead(asked: Asked) -> WayAhead | None:
    """Return the way ahead of the tables; None where nothing is level."""
    is_level = asked.loosened.stage in (Stage.GLIDING, Stage.UNSTEERED)
    return asked.made.ahead if is_level else None


def _along(ahead: WayAhead | None) -> Along | None:
    return None if ahead is None else ahead.along


def _weights(asked: Asked, ensemble: Ensemble) -> Weights:
    by = {one.story: one.chance_ratio for one in asked.stories}
    free = ensemble.sortie.release.free_after_burst_ratio
    tied = by.get("falling with remains", 0.0)
    return Weights(by.get("gliding", 0.0), tied * free)


def _comes_down(asked: Asked) -> tuple[ComesDown, ...]:
    """Return where it comes down if nobody does anything; nothing while it is steered."""
    if asked.loosened.stage is Stage.GLIDING:
        return ()
    return comes_down(asked.made.of.known.ensemble, asked.loosened, asked.now, asked.stories)


def _comes_free(ensemble: Ensemble, stage: Stage) -> float | None:
    return ensemble.sortie.release.free_after_burst_ratio if stage is Stage.TIED_ON else None


def _steer(asked: Asked, aim: FieldNow) -> SteerNow | None:
    """Return how to fly to the field advised; of what is still tied on, once it is let go now."""
    plain = asked.made.plain
    field = next(k for k, one in enumerate(plain.sortie.fields) if one.name == aim.name)
    seen = asked.loosened.seen
    at = Point(asked.now_s, seen.amsl_m, seen.north_rad, seen.east_rad)
    if asked.loosened.stage is Stage.TIED_ON:
        at = begin_glide(plain.air.scene, plain.released, 0, at)
    elif asked.loosened.stage is Stage.DROPPED:
        left = asked.loosened.left
        at = begin_glide(plain.air.scene, plain.released, 0, Point(*left))
    home = home_way(plain, Point(*(float(one) for one in at)), field)
    if home is None:
        return None
    return steer_now(plain, home, field, aim.chance_ratio, aim.arrival_agl_m)


def _aim(asked: Asked, place: PlaceNow) -> AimNow | None:
    """Return where to aim from the stand at which the car is, or else the one that hears best."""
    sortie, ahead = asked.made.plain.sortie, asked.made.ahead
    if not sortie.stands:
        return None
    names = [one.name for one in sortie.stands]
    stand = sortie.stands[asked.at_stand if asked.at_stand is not None else 0]
    if asked.at_stand is None and ahead is not None and ahead.links:
        stand = sortie.stands[names.index(ahead.links[0].stand)]
    there = Place(lat_deg=place.lat_deg, lon_deg=place.lon_deg, amsl_m=place.amsl_m)
    seen = look(place_of(stand, stand.amsl_m + stand.mast_m), there)
    pictures = [beam_deg(gear_of(one)) for one in sortie.links if one.purpose == "picture"]
    return AimNow(
        stand=stand.name,
        azimuth_deg=seen.azimuth_deg,
        elevation_deg=seen.elevation_deg,
        range_m=seen.range_m,
        beam_deg=min(pictures, default=None),
    )


def _ground_m(ensemble: Ensemble, field: str) -> float:
    """Return the ground of a field, of the lowest without one."""
    heights = {one.name: one.amsl_m for one in ensemble.sortie.fields}
    return heights[field] if field in heights else float(np.min(list(heights.values())))
