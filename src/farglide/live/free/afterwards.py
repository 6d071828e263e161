"""Advised afterwards: one advice of a flight that hangs on no whole balloon any more."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.after.afterwards import Loosened, in_circuit, states_now
from farglide.chances.after.comingdown import comes_down
from farglide.chances.after.loose import loose
from farglide.chances.after.steering import (
    Along,
    Asks,
    Weights,
    fields_after,
    level_after,
    steered_for,
)
from farglide.chances.condition import air_now
from farglide.chances.ensemble import Ensemble
from farglide.chances.needs import aims_of, for_field
from farglide.chances.onward import Seen
from farglide.earth.state import place_deg
from farglide.live.after.steer import home_way, steer_now
from farglide.live.after.wayahead import WayAhead
from farglide.live.free.takenas import Said, stories_of, taken_for
from farglide.live.ride.needs import place_within_s
from farglide.live.ride.tables import Tables
from farglide.outlook.advice import Advice, FieldNow, Level, PlaceNow
from farglide.outlook.after import AfterNow, BarrierAhead, ComesDown, Stage, SteerNow, StoryNow
from farglide.outlook.freshness import AimNow, Freshness, NeedNow
from farglide.sim.core.release import begin_glide
from farglide.sim.core.states import States
from farglide.sim.core.tracks import Point
from farglide.track.filter.particles import Particles, Story, story_weights
from farglide.track.filter.told import ALOFT, FLOWN, states_of, where

_ASKED: Final = {
    Stage.GLIDING: FLOWN,
    Stage.UNSTEERED: FLOWN,
    Stage.TIED_ON: frozenset({Story.TANGLED}),
}


class Asked(NamedTuple):
    """What is asked of a loose flight: by which tables, at what, what it may be, when.

    `particles`: of the moment; `was`: the field advised last, "" for none, and `shut_by` the
    stories by which fields were told to shut; `at_stand`: at which the car is, None on the road or
    where nobody knows; `said`: what else was told last; `bound_for`: the field for which it is
    flown, as typed.
    """

    made: Tables
    loosened: Loosened
    is_marked: bool
    particles: Particles
    now_s: float
    was: str
    needs: tuple[NeedNow, ...]
    at_stand: int | None = None
    said: Said = Said()
    shut_by: tuple[str, ...] = ()
    packs_empty: bool = False
    is_sent: bool = False
    bound_for: str = ""


class _Believed(NamedTuple):
    """What a loose flight is taken to be at: `asked` with that, `marked` as the crew has it."""

    asked: Asked
    marked: Stage
    now: States
    stories: tuple[StoryNow, ...]
    place: PlaceNow

    @property
    def ensemble(self) -> Ensemble:
        """The draws of the flight."""
        return self.asked.made.drawn


class _Way(NamedTuple):
    """Where it is to go: every field, the one advised ("": none), and the way to that."""

    fields: tuple[FieldNow, ...]
    name: str
    ahead: WayAhead | None
    steer: SteerNow | None
    barrier: BarrierAhead | None


def after_advice(asked: Asked, refused: tuple[str, ...] = ()) -> Advice:
    """Return what is advised now. `refused`: fields on which nobody may land any more."""
    known = _believed(asked)
    return _advice(known, _way(known, refused))


def _believed(asked: Asked) -> _Believed:
    """Return what it is taken to be at, by the marks and by how it flies."""
    free_s = asked.now_s - asked.loosened.left.after_launch_s
    loosened = taken_for(asked.loosened, story_weights(asked.particles), asked.said, free_s)
    told, ensemble = asked._replace(loosened=loosened), asked.made.drawn
    return _Believed(
        asked=told,
        marked=asked.loosened.stage,
        now=_states(told, ensemble),
        stories=stories_of(asked.particles),
        place=_place(told, ensemble),
    )


def _way(known: _Believed, refused: tuple[str, ...]) -> _Way:
    """Return where it is to go; what is ahead counts on the way of the tables alone."""
    asked, ensemble, ahead = known.asked, known.ensemble, _ahead(known.asked)
    fields = _fields(known, ahead, refused)
    name = steered_for(fields, ensemble.sortie.wish, asked.was, asked.bound_for)
    aim = next((one for one in fields if one.name == name), None)
    if ahead is not None and ensemble.sortie.fields[ahead.field].name != name:
        fields = tuple(replace(one, until_after_launch_s=None, then=None) for one in fields)
        ahead = None
    barrier = None if ahead is None else ahead.barrier
    if barrier is not None and asked.now_s > barrier.edge_after_launch_s:
        barrier = None
    return _Way(
        fields=_with_freshness(fields, known),
        name=name,
        ahead=ahead,
        steer=None if aim is None or asked.loosened.stage is Stage.DOWN else _steer(asked, aim),
        barrier=barrier,
    )


def _fields(
    known: _Believed, ahead: WayAhead | None, refused: tuple[str, ...]
) -> tuple[FieldNow, ...]:
    """Return every field that is not refused, as the stories leave it."""
    asked, ensemble = known.asked, known.ensemble
    found = loose(ensemble, asked.loosened, known.now, known.stories, asked.shut_by)
    fields = fields_after(ensemble, found, _weights(known.stories, ensemble), _along(ahead))
    left = (one for one in fields if one.name not in refused)
    return tuple(_let_alone(one) if asked.packs_empty else one for one in left)


def _with_freshness(fields: tuple[FieldNow, ...], known: _Believed) -> tuple[FieldNow, ...]:
    """Return fields with how fresh the place is for each."""
    goals = known.ensemble.sortie.fields
    return tuple(replace(one, data=for_field(known.place, goal)) for one in fields for goal in goals
                 if goal.name == one.name)  # fmt: skip


def _advice(known: _Believed, way: _Way) -> Advice:
    """Return the advice: how much it presses, by what is believed and where it is to go."""
    asked, ensemble, place = known.asked, known.ensemble, known.place
    stage = asked.loosened.stage
    agl_m = place.amsl_m - _ground_m(ensemble, way.name)
    asks = Asks(stage, asked.is_marked, asked.now_s, agl_m, way.barrier)
    age_s = asked.now_s - place.seen_after_launch_s
    data = Freshness.for_need(age_s, place_within_s(stage, agl_m))
    aims = aims_of(ensemble.sortie, place, asked.made.beam_deg)
    return Advice(
        after_launch_s=asked.now_s,
        level=Level.DECIDE if asked.packs_empty else level_after(asks, way.fields, way.name),
        data=data,
        place=place,
        fields=way.fields,
        air=air_now(asked.made.known, place.amsl_m),
        picture=asked.made.picture,
        aims=aims,
        stage=stage,
        stories=known.stories,
        needs=(NeedNow(what="place", data=data, age_s=age_s), *asked.needs),
        after=_after(known, way, _aim(asked, aims)),
    )


def _after(known: _Believed, way: _Way, aim: AimNow | None) -> AfterNow:
    """Return what an advice says beside the fields, once no whole balloon carries it."""
    asked, ahead = known.asked, way.ahead
    return AfterNow(
        since_after_launch_s=asked.loosened.left.after_launch_s,
        is_marked=asked.is_marked,
        is_by_fall=asked.loosened.stage is not known.marked,
        steer=way.steer,
        barrier=way.barrier,
        links=() if ahead is None else ahead.links,
        aim=aim,
        landing=None if ahead is None else ahead.landing,
        comes_down=_comes_down(asked, known.now, known.stories),
        comes_free_ratio=_comes_free(asked, known.ensemble),
        packs_empty=asked.packs_empty,
        is_sent=asked.is_sent,
    )


def _states(asked: Asked, ensemble: Ensemble) -> States:
    """Return where each draw is now, as far as it is what the flight is taken to be at."""
    loosened, laws, particles = asked.loosened, asked.made.laws, asked.particles
    stories = _ASKED.get(loosened.stage, ALOFT)
    held = story_weights(particles)
    if loosened.stage is Stage.DROPPED or not any(held.get(one, 0.0) > 0.0 for one in stories):
        return states_now(ensemble, loosened, asked.now_s)
    return states_of(laws, particles, stories)


def _middle(asked: Asked) -> Seen:
    """Return where it is taken to be, in the frame of the launch."""
    found = where(asked.made.laws, asked.particles)
    return Seen(asked.now_s, found.amsl_m, found.north_rad, found.east_rad)


def _place(asked: Asked, ensemble: Ensemble) -> PlaceNow:
    """Return where it is taken to be, all stories counted, and how sure that is."""
    found = where(asked.made.laws, asked.particles)
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, found.north_rad, found.east_rad)
    return PlaceNow(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=found.amsl_m,
        half_within_m=found.half_within_m,
        most_within_m=found.most_within_m,
        seen_after_launch_s=asked.particles.placed_s,
    )


def _ahead(asked: Asked) -> WayAhead | None:
    """Return the way ahead of the tables; None where nothing is level."""
    is_level = asked.loosened.stage in (Stage.GLIDING, Stage.UNSTEERED)
    return asked.made.ahead if is_level else None


def _along(ahead: WayAhead | None) -> Along | None:
    return None if ahead is None else ahead.along


def _weights(stories: tuple[StoryNow, ...], ensemble: Ensemble) -> Weights:
    by = {one.story: one.chance_ratio for one in stories}
    free = ensemble.sortie.release.free_after_burst_ratio
    tied = by.get("falling with remains", 0.0)
    return Weights(by.get("gliding", 0.0), tied * free)


def _comes_down(asked: Asked, now: States, stories: tuple[StoryNow, ...]) -> tuple[ComesDown, ...]:
    """Return where it comes down if nobody does anything; nothing while it is steered."""
    if asked.loosened.stage in (Stage.GLIDING, Stage.DOWN):
        return ()
    return comes_down(asked.made.drawn, asked.loosened, now, stories)


def _comes_free(asked: Asked, ensemble: Ensemble) -> float | None:
    if asked.loosened.stage is not Stage.TIED_ON:
        return None
    return 0.0 if asked.packs_empty else ensemble.sortie.release.free_after_burst_ratio


def _let_alone(field: FieldNow) -> FieldNow:
    """Return a field to which nothing can be steered any more."""
    return FieldNow(
        name=field.name,
        state="shut",
        chance_ratio=0.0,
        open_ratio=0.0,
        until_after_launch_s=None,
        then=None,
    )


def _steer(asked: Asked, aim: FieldNow) -> SteerNow | None:
    """Return how to fly to the field advised; of what is still tied on, once it is let go now."""
    plain = asked.made.plain
    field = next(k for k, one in enumerate(plain.sortie.fields) if one.name == aim.name)
    middle = _middle(asked)
    plain = replace(plain, goals=in_circuit(plain.goals, middle.amsl_m))
    at = Point(asked.now_s, middle.amsl_m, middle.north_rad, middle.east_rad)
    if asked.loosened.stage is Stage.TIED_ON:
        at = begin_glide(plain.air.scene, plain.released, 0, at)
    elif asked.loosened.stage is Stage.DROPPED:
        left = asked.loosened.left
        at = begin_glide(plain.air.scene, plain.released, 0, Point(*left[:4]))
    home = home_way(plain, Point(*(float(one) for one in at)), field)
    if home is None:
        return None
    return steer_now(plain, home, field, aim.chance_ratio, aim.arrival_agl_m)


def _aim(asked: Asked, aims: tuple[AimNow, ...]) -> AimNow | None:
    """Return where to aim from the stand at which the car is, or else the one that hears best."""
    ahead = asked.made.ahead
    if not aims:
        return None
    if asked.at_stand is None and ahead is not None and ahead.links:
        best = ahead.links[0].stand
        return next(one for one in aims if one.stand == best)
    return aims[asked.at_stand or 0]


def _ground_m(ensemble: Ensemble, field: str) -> float:
    """Return the ground of a field, of the lowest without one."""
    heights = {one.name: one.amsl_m for one in ensemble.sortie.fields}
    return heights[field] if field in heights else float(np.min(list(heights.values())))
