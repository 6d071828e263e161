"""Advising: what the draws of a flight in the air make of letting go now, later, or never."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.chances import Chances, chances_in, states_of_climb
from farglide.chances.condition import air_now, burst_ahead, fill_now, leak_now
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import chances_by, chances_by_clock, known_of, rules_of
from farglide.chances.holding import holding_along
from farglide.chances.informed import Informed
from farglide.chances.needs import aims_of, for_field, narrowest_deg
from farglide.chances.onward import Advisable, Seen, last_moment, seen_of, states_from
from farglide.chances.placing import place_now
from farglide.chances.spells import state_of
from farglide.chances.urgency import level_now
from farglide.chances.window import Decision
from farglide.outlook.advice import (
    Advice,
    FieldNow,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.freshness import Freshness
from farglide.sortie.spec import Sortie

_WAITS_S: Final = (0.0, 60.0, 120.0, 300.0)


class _Asked(NamedTuple):
    """What is asked of an informed flight: when it is, and what was found."""

    of: Advisable
    seen: Seen
    now_s: float
    waits: Chances

    @property
    def ensemble(self) -> Ensemble:
        return self.of.known.ensemble


def advice_of(known: Informed, seen_s: float, now_s: float) -> Advice:
    """Return what is advised at a moment, nothing newer than one fix being known.

    `seen_s`, `now_s`: after the launch; until now the draws go on from that fix. Valid: until the
    climbs of the draws end. Source: the decision is that of the plan, asked of the state now.
    """
    return advice_now(advisable(known, now_s), seen_of(known, seen_s), now_s)


def advisable(known: Informed, now_s: float) -> Advisable:
    """Return what all advice from a moment on is made of: release window, burst, what is ahead."""
    ensemble = known.ensemble
    tracks = ensemble.climbs.tracks
    first = min(int(np.ceil(now_s / tracks.step_s - 1e-9)), last_moment(ensemble))
    goals, moments = ensemble.goals, np.arange(first, last_moment(ensemble) + 1)
    shared = known_of(ensemble, goals)
    heights = chances_by(ensemble, rules_of(ensemble), goals, shared)
    along = holding_along(ensemble, states_of_climb(ensemble, moments), goals)
    common = shared._replace(along=along)
    release = _release(ensemble.sortie, heights, decide(ensemble, heights))
    return Advisable(
        known=known,
        ahead=chances_by_clock(ensemble, moments, goals, common),
        common=common,
        release=_begun(release, heights, now_s),
        burst=burst_ahead(ensemble),
        leak=leak_now(known),
        fill=fill_now(ensemble),
        beam_deg=narrowest_deg(ensemble.sortie),
    )


def advice_now(of: Advisable, seen: Seen, now_s: float) -> Advice:
    """Return what is advised now, in a few hundredths of a second, by tables made a while ago.

    Each draw goes on from where the balloon was seen last in the air that the tables know. `seen`:
    not before the moment that they are made for. Valid: until the climbs of the draws end.
    """
    ensemble = of.known.ensemble
    states = states_from(ensemble, seen, now_s + np.array(_WAITS_S))
    waits = chances_in(ensemble, states, ensemble.goals, of.common)
    asked = _Asked(of, seen, now_s, waits)
    place = place_now(ensemble, states, seen)
    fields = _fields(asked, place)
    return Advice(
        after_launch_s=now_s,
        level=level_now(of, now_s, fields),
        data=Freshness.of_age(now_s - seen.told_s[0]),
        place=place,
        fields=fields,
        release=of.release,
        waiting=_waiting(asked, of.release),
        burst=of.burst,
        leak=of.leak,
        air=air_now(of.known, place.amsl_m),
        fill=of.fill,
        picture=of.picture,
        aims=aims_of(ensemble.sortie, place, of.beam_deg),
    )


def _fields(asked: _Asked, place: PlaceNow) -> tuple[FieldNow, ...]:
    sortie, ahead, waits = asked.ensemble.sortie, asked.of.ahead, asked.waits
    coming = ahead.is_told & (ahead.after_launch_s >= asked.now_s)
    later_s, later = ahead.after_launch_s[coming].tolist(), ahead.open_ratio[coming].T.tolist()
    found = []
    for f, field in enumerate(sortie.fields):
        now = state_of(float(waits.open_ratio[0, f]), sortie.wish)
        then = (
            (t_s, state_of(one, sortie.wish)) for t_s, one in zip(later_s, later[f], strict=True)
        )
        until_s, other = next((one for one in then if one[1] != now), (None, None))
        found.append(
            FieldNow(
                name=field.name,
                state=now,
                chance_ratio=float(waits.chance_ratio[0, f]),
                open_ratio=float(waits.open_ratio[0, f]),
                until_after_launch_s=until_s,
                then=other,
                data=for_field(place, field),
            )
        )
    return tuple(found)


def _release(sortie: Sortie, heights: Chances, decision: Decision | None) -> ReleaseAdvice | None:
    if decision is None:
        return None
    return ReleaseAdvice(
        field=sortie.fields[decision.field].name,
        from_amsl_m=float(heights.amsl_m[decision.first]),
        to_amsl_m=float(heights.amsl_m[decision.last]),
        from_after_launch_s=decision.from_s,
        to_after_launch_s=decision.to_s,
        release_by_after_launch_s=decision.release_by_s,
        chance_ratio=decision.chance_ratio,
        bound_by=decision.bound_by,
        is_enough=decision.is_enough,
    )


def _begun(release: ReleaseAdvice | None, heights: Chances, now_s: float) -> ReleaseAdvice | None:
    """Return a release whose window is open now, where it begins with the first height asked.

    That height is up to a step of the draws' clock ahead: nothing lies before it.
    """
    if release is None or release.from_amsl_m > float(heights.amsl_m[0]):
        return release
    return replace(release, from_after_launch_s=min(release.from_after_launch_s, now_s))


def _waiting(asked: _Asked, release: ReleaseAdvice | None) -> tuple[Waited, ...]:
    """Return the value of waiting: of the field advised, or of the best one now."""
    waits, sortie = asked.waits, asked.ensemble.sortie
    names = [field.name for field in sortie.fields]
    field = names.index(release.field) if release else int(np.argmax(waits.chance_ratio[0]))
    return tuple(
        Waited(
            seconds=wait_s,
            chance_ratio=float(waits.chance_ratio[j, field]),
            climbed_m=float(waits.amsl_m[j] - waits.amsl_m[0]),
            burst_ratio=float(waits.burst_ratio[j]),
        )
        for j, wait_s in enumerate(_WAITS_S)
    )
