"""Stands now: how far each is from the car, what it hears, and what it is good for."""

from dataclasses import replace
from math import isfinite, isinf
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.holding import holding
from farglide.chances.onward import last_s
from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place, place_of
from farglide.live.asked.heard import heard_of
from farglide.live.asked.situation import Situation
from farglide.outlook.askedcar import Heard, Later, LostNow, ParkNow, PictureNow, StandNow
from farglide.plan.links.carplan import lost_pictures
from farglide.plan.links.hearing import margins_along
from farglide.rig.listening import AT_LAUNCH_M, drive_between_s, drive_s, mast_of, road_s
from farglide.sim.core.states import States
from farglide.sim.core.tracks import Trails
from farglide.sortie.spec import SECOND_CREW, Sortie, StandSpec

_AT_M: Final = 1000.0
"""A car so near to a stand is there."""
_LATER_S: Final = (300.0, 600.0, 1200.0)


def park_now(asked: Situation) -> ParkNow:
    """Return the stands as they are worth now, the best for the release advised first."""
    release = asked.advice.release
    found = sorted(stands_now(asked), key=lambda one: _worth(one, asked.field_name))
    return ParkNow(
        after_launch_s=asked.now_s,
        field=asked.field_name,
        from_after_launch_s=None if release is None else release.from_after_launch_s,
        car=_car_words(asked),
        set_up_s=asked.sortie.set_up_s,
        stands=tuple(found),
    )


def picture_now(asked: Situation) -> PictureNow:
    """Return which picture each stand should have now, the one where the car is first."""
    found = stands_now(asked)
    here = _manned(found)
    rest = (one for one in found if here is None or one.name != here.name)
    return PictureNow(
        after_launch_s=asked.now_s,
        field=asked.field_name,
        stands=tuple(rest) if here is None else (here, *rest),
    )


def lost_now(asked: Situation) -> LostNow:
    """Return how long there is to get the picture back, and what follows when nothing is sent."""
    release, drop = asked.advice.release, asked.sortie.drop
    by_s = None if release is None else release.release_by_after_launch_s
    return LostNow(
        after_launch_s=asked.now_s,
        field=asked.field_name,
        release_by_after_launch_s=by_s,
        fix_until_after_launch_s=None if by_s is None else by_s - drop.repeats_s,
        chance_ratio=None if release is None else release.chance_ratio,
        stand=manned_now(asked),
        later=tuple(
            _later(asked, seconds)
            for seconds in _LATER_S
            if asked.now_s + seconds < last_s(asked.ensemble)
        ),
    )


def manned_now(asked: Situation) -> StandNow | None:
    """Return the stand where the car is, or where a second crew waits, else the one that hears."""
    return _manned(stands_now(asked))


def stands_now(asked: Situation) -> list[StandNow]:
    """Return all stands, in the order of the flight file."""
    sortie, release = asked.sortie, asked.advice.release
    at_s = asked.now_s if release is None else max(release.from_after_launch_s, asked.now_s)
    there, then = asked.place, asked.place_then(at_s)
    lost = {one.stand: one.agl_m for one in lost_pictures(sortie, asked.aim, asked.terrain)}
    heard = _heard(asked)
    found = []
    for s, stand in enumerate(sortie.stands):
        mast, takes_s = mast_of(stand, asked.terrain), drive_to_s(asked, stand)
        seen, up = look(mast, there), look(mast, then)
        is_there = takes_s == 0.0
        ready_s = asked.now_s + (0.0 if is_there else takes_s + sortie.set_up_s)
        off_s = None if release is None else release.from_after_launch_s - takes_s - sortie.set_up_s
        found.append(
            StandNow(
                name=stand.name,
                drive_s=takes_s,
                ready_after_launch_s=ready_s,
                set_off_after_launch_s=None if is_there or isinf(takes_s) else off_s,
                azimuth_deg=seen.azimuth_deg,
                elevation_deg=seen.elevation_deg,
                range_m=seen.range_m,
                overhead_deg=up.elevation_deg,
                links=heard[s],
                lost_agl_m=lost.get(stand.name),
                holds_ratio=(
                    ()
                    if release is None or isinf(takes_s)
                    else _holds(asked, s, max(at_s, ready_s))
                ),
                is_in_time=isfinite(ready_s)
                and (release is None or ready_s <= release.release_by_after_launch_s),
                nose_deg=stand.nose_deg,
            )
        )
    return found


def drive_to_s(asked: Situation, stand: StandSpec) -> float:
    """Return how long the drive takes from where the car is; 0 for where it stands already.

    Where nobody told where it is, it is taken to be at the launch. Infinite where the road is
    closed.
    """
    if stand.crew == SECOND_CREW:
        return 0.0
    sortie, car = asked.driven, asked.car
    stand = next((one for one in sortie.stands if one.name == stand.name), stand)
    if car is None:
        return drive_s(sortie, stand)
    here = place_of(stand, 0.0)
    if geodesic(place_of(car, 0.0), here).distance_m < _AT_M:
        return 0.0
    if geodesic(place_of(car, 0.0), place_of(sortie.launch, 0.0)).distance_m < AT_LAUNCH_M:
        return drive_s(sortie, stand)
    at = _stand_at(sortie, car)
    return road_s(place_of(car, 0.0), here) if at is None else drive_between_s(sortie, at, stand)


def _stand_at(sortie: Sortie, place: Place) -> StandSpec | None:
    """Return the stand at which a place is."""
    here = place_of(place, 0.0)
    for one in sortie.stands:
        if geodesic(here, place_of(one, 0.0)).distance_m < _AT_M:
            return one
    return None


def _manned(found: list[StandNow]) -> StandNow | None:
    there = [one for one in found if one.drive_s == 0.0]
    return max(there or found, key=_hears, default=None)


def _hears(one: StandNow) -> float:
    return max((link.margin_db for link in one.links), default=-one.range_m)


def _worth(one: StandNow, field: str) -> tuple[bool, bool, float, float]:
    """Return what stands are ordered by: open, in time, holding, near; else what they hear."""
    holds = one.holds(field)
    worth = _hears(one) if holds is None else round(holds, 2)
    return isinf(one.drive_s), not one.is_in_time, -worth, one.drive_s


def _heard(asked: Situation) -> list[tuple[Heard, ...]]:
    """Return what each stand hears of each link now."""
    sortie, ensemble = asked.sortie, asked.ensemble
    if ensemble.listening is None:
        return [() for _ in sortie.stands]
    margins = np.nanmedian(margins_along(ensemble, _trails(asked.states([asked.now_s]))), axis=0)
    return [tuple(heard_of(one, float(margins[s, k, 0])) for k, one in enumerate(sortie.links))
            for s in range(len(sortie.stands))]  # fmt: skip


def _holds(asked: Situation, s: int, at_s: float) -> tuple[tuple[str, float], ...]:
    """Return the chance of the links from a release to each field, from one stand alone."""
    listening, sortie = asked.ensemble.listening, asked.sortie
    if listening is None or not listening.needed:
        return ()
    ready_s: FloatArray = np.full(len(sortie.stands), np.inf)
    ready_s[s] = 0.0
    alone = replace(asked.ensemble, listening=replace(listening, ready_s=ready_s))
    held = holding(alone, asked.states([at_s]), asked.ensemble.goals)
    if held is None:
        return ()
    ratios = held.by_purpose[0].prod(axis=1).tolist()
    return tuple((field.name, one) for field, one in zip(sortie.fields, ratios, strict=True))


def _trails(states: States) -> Trails:
    return Trails(*(np.ascontiguousarray(one) for one in states[2:5]))


def _later(asked: Situation, seconds: float) -> Later:
    place, states = asked.place_then(asked.now_s + seconds), asked.states([asked.now_s + seconds])
    return Later(
        seconds=seconds,
        lat_deg=place.lat_deg,
        lon_deg=place.lon_deg,
        amsl_m=place.amsl_m,
        burst_ratio=float(states.burst_ratio.mean()),
    )


def _car_words(asked: Situation) -> str:
    if asked.car is None:
        return "at the launch, as nobody told where it is"
    at = _stand_at(asked.sortie, asked.car)
    return f"at {at.name}" if at else "on the road"
