"""Advising: what the draws of a flight in the air make of letting go now, later, or never."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.chances import Chances, chances_in
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import after_bursts, chances_by, chances_by_clock, rules_of
from farglide.chances.informed import LIKELY_RATIO, Informed
from farglide.chances.leaking import begun_s
from farglide.chances.needs import aims_of, for_field, narrowest_deg
from farglide.chances.onward import Advisable, Seen, last_moment, seen_of, states_from
from farglide.chances.spells import state_of
from farglide.chances.window import Decision, release_takes_s
from farglide.earth.state import place_deg
from farglide.outlook.advice import (
    Advice,
    AirNow,
    BurstAhead,
    FieldNow,
    FillNow,
    LeakNow,
    Level,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import Freshness
from farglide.sim.core.shares import quantile_moment_s
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m
from farglide.sortie.spec import Sortie

_WAITS_S: Final = (0.0, 60.0, 120.0, 300.0)
_SOON_S: Final = 600.0
_AT_ONCE_S: Final = 60.0
_SAME_RAD: Final = 1e-9  # 6 mm
_SURE_RATIO: Final = 0.9
"""Of a leak: from this chance on the plan for the climb no longer holds."""
_WIDE_RATIO: Final = 1.5
"""Winds that miss by so much more than told are worth a look."""


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
    heights = chances_by(ensemble, rules_of(ensemble))
    release = _release(ensemble.sortie, heights, decide(ensemble, heights))
    return Advisable(
        known=known,
        ahead=chances_by_clock(ensemble, np.arange(first, last_moment(ensemble) + 1)),
        after=after_bursts(ensemble, ensemble.goals),
        release=_begun(release, heights, now_s),
        burst=_burst(ensemble),
        leak=_leak(known),
        fill=_fill(ensemble),
        beam_deg=narrowest_deg(ensemble.sortie),
    )


def advice_now(of: Advisable, seen: Seen, now_s: float) -> Advice:
    """Return what is advised now, in a few hundredths of a second, by tables made a while ago.

    Each draw goes on from where the balloon was seen last in the air that the tables know. `seen`:
    not before the moment that they are made for. Valid: until the climbs of the draws end.
    """
    ensemble = of.known.ensemble
    states = states_from(ensemble, seen, now_s + np.array(_WAITS_S))
    asked = _Asked(of, seen, now_s, chances_in(ensemble, states, ensemble.goals, of.after))
    place = _place(ensemble, states, seen)
    fields = _fields(asked, place)
    return Advice(
        after_launch_s=now_s,
        level=_level(asked, of.release, fields),
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


def _place(ensemble: Ensemble, states: States, seen: Seen) -> PlaceNow:
    """Return where the middle draw is at the first moment, and how far from it the others are."""
    frame = ensemble.air.scene.frame
    rows = (one[:, 0] for one in (states.north_rad, states.east_rad))
    north_rad, east_rad = (one[np.isfinite(one)] for one in rows)
    middle = Offset(float(np.median(north_rad)), float(np.median(east_rad)))
    away_m = [0.0]
    if max(np.ptp(north_rad), np.ptp(east_rad)) > _SAME_RAD:  # else all of them are at a fix
        away_m = [
            np.hypot(*apart_m(frame, middle, Offset(north, east)))
            for north, east in zip(north_rad.tolist(), east_rad.tolist(), strict=True)
        ]
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, *middle)
    half_m, most_m = np.quantile(away_m, [0.5, 0.9])
    return PlaceNow(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        amsl_m=float(np.nanmedian(states.amsl_m[:, 0])),
        half_within_m=float(half_m),
        most_within_m=float(most_m),
        seen_after_launch_s=seen.told_s[0],
        height_seen_after_launch_s=seen.told_s[1],
    )


def _fields(asked: _Asked, place: PlaceNow) -> tuple[FieldNow, ...]:
    sortie, ahead, waits = asked.ensemble.sortie, asked.of.ahead, asked.waits
    later_s = ahead.after_launch_s[ahead.is_told]
    found = []
    for f, field in enumerate(sortie.fields):
        now = state_of(float(waits.open_ratio[0, f]), sortie.wish)
        then = (state_of(float(one), sortie.wish) for one in ahead.open_ratio[ahead.is_told, f])
        changes = zip(later_s.tolist(), then, strict=True)
        until_s, other = next(
            ((t_s, state) for t_s, state in changes if t_s >= asked.now_s and state != now),
            (None, None),
        )
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


def _burst(ensemble: Ensemble) -> BurstAhead:
    """Return when it bursts, of the balloons whole now; NaN where so many never do."""
    climbs = ensemble.climbs
    since = climbs.burst_share.mean(axis=0)
    t = [quantile_moment_s(since, climbs.tracks.step_s, q) for q in (0.1, 0.5, 0.9)]
    known = np.flatnonzero(np.isfinite(climbs.tracks.amsl_m).any(axis=0))
    height = np.nanmedian(climbs.tracks.amsl_m[:, known], axis=0)
    z = [float(np.interp(one, climbs.tracks.step_s * known, height)) for one in t]
    return BurstAhead(after_launch_s=_spread(t), amsl_m=_spread(z))


def _spread(points: list[float]) -> Spread:
    return Spread(p10=points[0], p50=points[1], p90=points[2])


def _leak(known: Informed) -> LeakNow:
    """Return what is believed of a leak, and how high the balloons get, burst or not."""
    leaks, tracks = known.leaks, known.ensemble.climbs.tracks
    likely = leaks.chance_ratio >= LIKELY_RATIO
    tops_m = np.nanmax(tracks.amsl_m, axis=1)
    return LeakNow(
        chance_ratio=leaks.chance_ratio,
        since_after_launch_s=begun_s(leaks) if likely else None,
        top_amsl_m=_spread([float(one) for one in np.quantile(tops_m, [0.1, 0.5, 0.9])]),
        floats_since_after_launch_s=known.floats_since_s,
    )


def _fill(ensemble: Ensemble) -> FillNow:
    """Return what the balloon lifts by its gas: as told, and as its climb has it in the draws."""
    balloon, fill = ensemble.sortie.balloon, ensemble.climbs.fill
    told = balloon.neck_lift_kg
    per_gas = (told.value + balloon.mass_kg) / fill.gas_kg
    lifts = per_gas * np.quantile(ensemble.draws.swarm.gas_kg, [0.1, 0.5, 0.9]) - balloon.mass_kg
    return FillNow(
        told_kg=told.value, told_sd_kg=told.sd, neck_lift_kg=_spread([float(one) for one in lifts])
    )


def air_now(known: Informed, here_m: float) -> AirNow:
    """Return what is known of the air below and above; weighed by layers alike."""
    sortie = known.ensemble.sortie
    middle_m = known.ensemble.air.column.middles_amsl_m
    below = (middle_m > sortie.launch.amsl_m) & (middle_m <= here_m)
    above = (middle_m > here_m) & (middle_m <= max(sortie.wish.wanted_amsl_m, here_m + 1000.0))
    ratio = known.air.home.known_ratio
    means = (float(ratio[some].mean()) if some.any() else 0.0 for some in (below, above))
    measured, ahead = means
    return AirNow(
        measured_ratio=measured, ahead_ratio=ahead, spread_ratio=float(known.spread_ratio.max())
    )


def _level(asked: _Asked, release: ReleaseAdvice | None, fields: tuple[FieldNow, ...]) -> Level:
    """Return how much is asked: by what is left until the release is due, then by what changes."""
    if release is None:
        any_open = any(one.state != "shut" for one in fields)
        return Level.DECIDE if any_open else Level.WATCH
    left_s = release.release_by_after_launch_s - asked.now_s
    if left_s <= _AT_ONCE_S + release_takes_s(asked.ensemble.sortie.drop):
        return Level.NOW
    due = asked.now_s >= release.from_after_launch_s or left_s <= _SOON_S
    floats = asked.of.known.floats_since_s is not None
    if due or floats or asked.of.known.leaks.chance_ratio >= _SURE_RATIO:
        return Level.DECIDE
    changes = [one.until_after_launch_s for one in fields if one.until_after_launch_s is not None]
    soon = any(0.0 <= at_s - asked.now_s <= _SOON_S for at_s in changes)
    return Level.WATCH if soon or _is_odd(asked.of.known) else Level.QUIET


def _is_odd(known: Informed) -> bool:
    """Tell whether air or balloon are not as they were told."""
    wide = float(known.spread_ratio.max()) > _WIDE_RATIO
    return wide or known.leaks.chance_ratio >= LIKELY_RATIO
