"""Plan: a sortie and its winds in, the whole outlook out."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.chances.advise import Advice, advise
from farglide.chances.decide import Decision, decide, gaps_s
from farglide.chances.stage import Stage
from farglide.chances.staged import median_place, moment_at, staged, without_tables
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.outlook import (
    Contour,
    Gain,
    LaunchSpot,
    Outlook,
    ReleaseOutlook,
    TimelyOutlook,
    Window,
)
from farglide.plan.faults.failures import failures
from farglide.plan.faults.heat import transmitter_heats
from farglide.plan.faults.unsteered import seconds_left, unsteered
from farglide.plan.fill import with_solved_fill
from farglide.plan.home.flown import flown_outlook
from farglide.plan.home.glides import middle_stage
from farglide.plan.home.homeward import Homeward, homeward, must_end_by
from farglide.plan.home.sideview import side_view
from farglide.plan.home.speedrows import speed_rows
from farglide.plan.links.carplan import links_outlook
from farglide.plan.notes import plan_notes
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.places.contours import contour
from farglide.plan.places.fieldviews import field_outlooks
from farglide.plan.polarfit import with_fitted_polar
from farglide.plan.rise import ascent_outlook
from farglide.plan.tables import fill_outlook, glider_rows, pack_ends, sun_outlook
from farglide.plan.unknowns import unknowns
from farglide.plan.verdict import verdict, why
from farglide.plan.weak.weak import weak_outlook
from farglide.plan.weak.weaker import release_of
from farglide.plan.whatif import (
    Small,
    added_field,
    gains,
    holds,
    latest_delay_s,
    launch_spots,
    median_burst_s,
    moments_of,
    small,
    small_asked,
    with_chosen_field,
)
from farglide.rig.cells import cell_heats
from farglide.rig.gear import goals_of
from farglide.sim.core.odds import failure_bound_ratio
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.fly.passage import east_north_m
from farglide.sortie.grain import Asked
from farglide.sortie.pack import Pack
from farglide.sortie.spec import DropSpec, Sortie

Progress = Callable[[str], None]
CONTOUR_KM: Final = (6.0, 12.0, 20.0, 26.0)
_LINKS_HELD: Final = (
    "Open means reach, packs, light, and {} on a straight way home down to the arrival height, "
    "antennas well aimed; woods, houses and people in the way are not counted."
)
_LINKS_UNKNOWN: Final = (
    "Open means reach, packs and light; whether picture and command hold on the way is not known, "
    "as links or stands are not stated. Without them no field is open."
)
_CAUTIONS: Final = (
    "After the release the glider is out of sight: that needs a permission of its own, and so do "
    "the balloon and each radio. This plan is no permission.",
    "The driver neither reads nor hears any of this. Legal speed. Nobody on the roof or out of "
    "a window; the "
    "transmitter and its antenna stay outside, away from heads.",
    "Hydrogen burns: outdoors, no sparks, filler earthed. Helium displaces air in a closed room.",
    "Land 100 to 300 m beside a road, clear of wires, rail, animals, people. Ask the owner first.",
    "Nobody enters water or a gorge to fetch it. Return time set before leaving the car.",
)


def plan_file(
    flight: FlightFile,
    pack: Pack,
    asked: Asked,
    workers: Workers = in_one_go,
    progress: Progress = lambda _: None,
) -> Outlook:
    """Return the outlook of a flight file: its polar fitted, its fill solved, its notes kept."""
    flight = with_solved_fill(with_fitted_polar(flight), pack.sounding)
    outlook = plan(flight.sortie, pack, asked, workers, progress)
    return replace(outlook, notes=(*flight.notes, *outlook.notes))


def plan(
    sortie: Sortie,
    pack: Pack,
    asked: Asked,
    workers: Workers = in_one_go,
    progress: Progress = lambda _: None,
) -> Outlook:
    """Return the outlook of a flight in the air of a pack.

    `progress` is told, in words, what is being worked on.
    """
    progress("flying the draws")
    stage, asked = staged(sortie, pack, asked, workers)
    middle = middle_stage(stage, pack.sounding)
    progress("asking every field at every height")
    advice = advise(stage, moments_of(stage))
    decision = decide(stage, advice)
    stage = without_tables(stage)
    progress("trying what would make it better")
    base = small(with_chosen_field(sortie, decision), pack.sounding, small_asked(asked), stage)
    return _outlook(_Found(stage, middle, advice, decision, base), pack, asked)


@dataclass(frozen=True, slots=True)
class _Found:
    """What the outlook is put together from."""

    stage: Stage
    middle: Stage
    advice: Advice
    decision: Decision | None
    base: Small


def _outlook(found: _Found, pack: Pack, asked: Asked) -> Outlook:
    stage, sortie, decision = found.stage, found.stage.sortie, found.decision
    burst_s = median_burst_s(stage)
    climb_end = _climb_end(found, burst_s)
    gaps = gaps_s(found.advice, sortie.wish, climb_end[0])
    gap_s = sum(b - a for a, b in gaps)
    fields = field_outlooks((stage, found.middle), found.advice, pack.terrain)
    ascent = ascent_outlook(stage)
    flight = _homeward(found)
    release = _release(found, decision, flight) if decision else None
    spots = launch_spots(found.base)
    held = holds(found.base)
    moment = moment_at(stage, release.release_by_after_launch_s if release else burst_s)
    middle_moment = moment_at(found.middle, moment * stage.tracks.step_s)
    heard = links_outlook(
        (stage, found.middle), found.advice, decision, (middle_moment, flight), pack.terrain
    )
    at = (middle_moment, pack.terrain)
    stages = (stage, found.middle)
    weak = weak_outlook(release_of(stages, found.base, found.advice, decision, at), heard)
    barriers = _barriers(found)
    missing = tuple(what for what, state in sortie.permissions if state == "missing")
    return Outlook(
        name=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        launch_name=sortie.launch.name,
        n_draws=asked.n_draws,
        seed=asked.seed,
        wind_origin=pack.sounding.origin,
        wind_age_s=sortie.launch.t_s - pack.sounding.t_s,
        verdict=verdict(sortie, release),
        why=why(
            sortie,
            release,
            fields,
            (gaps, climb_end),
            (ascent.beyond_amsl_m, float(np.nanmax(found.advice.amsl_m))),
        ),
        cleared=not missing,
        missing=missing,
        open_ratio=sortie.wish.open_ratio,
        doubtful_ratio=sortie.wish.doubtful_ratio,
        ascent=ascent,
        fields=fields,
        gap_s=gap_s,
        gaps=tuple(gaps),
        release=release,
        would_open=() if release else _would_open(found, spots),
        fill=fill_outlook(found.middle),
        packs=pack_ends(stage),
        cells=cell_heats(sortie, stage.column),
        transmitters=transmitter_heats(found.middle, middle_moment, flight),
        failures=failures(found.middle, found.advice, decision, middle_moment),
        sun=sun_outlook(stage, moment, decision.field if decision else 0),
        latest_launch_delay_s=latest_delay_s(held, 0.95) if held else None,
        holds=held,
        as_planned=Gain(
            what="as planned",
            odds_ratio=found.base.odds_ratio,
            shut_s=found.base.shut_s,
            release_by_shift_s=0.0,
        ),
        gains=(
            *added_field(found.base, found.advice, gaps),
            *gains(found.base, pack.sounding, spots),
        ),
        launch_spots=spots,
        unknowns=unknowns(found.base, pack.sounding),
        flown=flown_outlook(stage, decision.field, decision.release_by_s) if decision else None,
        unsteered=unsteered(stage, moment),
        seconds_left=seconds_left(found.middle, middle_moment),
        glider=glider_rows(found.middle),
        speeds=speed_rows(found.middle, flight) if flight else (),
        links=heard.links,
        held=heard.held,
        car=heard.car,
        weaker=weak.weaker,
        blind=weak.blind,
        expected=weak.expected,
        skies=heard.skies,
        ground=heard.ground,
        barriers=barriers,
        side=side_view((stage, found.middle), flight, barriers),
        contours=_contours(found),
        notes=plan_notes(stage, pack),
        levels_note="Flight levels from the pressure of the column, not from heights.",
        cautions=(_open_means(found.advice), *_CAUTIONS),
    )


def _open_means(advice: Advice) -> str:
    if advice.holding is None:
        return _LINKS_UNKNOWN
    return _LINKS_HELD.format(" and ".join(advice.holding.purposes))


def _climb_end(found: _Found, burst_s: float) -> tuple[float, str]:
    """Return until when a field is wanted, and what happens then, in words."""
    if float(found.stage.burst_share.mean(axis=0).max()) >= 0.5:
        return burst_s, "the median burst"
    return float(found.advice.after_launch_s[-1]), "the end of this plan"


def _barriers(found: _Found) -> tuple[BarrierWay, ...]:
    """Return the ways over barriers from the planned release to the chosen field."""
    stage, decision = found.stage, found.decision
    if decision is None or not stage.sortie.barriers:
        return ()
    goals = goals_of(stage.sortie, stage.sortie.fields)
    every = replace(found.base.stage, sortie=stage.sortie, goals=goals)
    start = ("the planned release", median_place(stage, decision.release_by_s))
    return barrier_ways(every, found.middle, start, (decision.field,))


def _homeward(found: _Found) -> Homeward | None:
    if found.decision is None:
        return None
    moment = moment_at(found.middle, found.decision.release_by_s)
    return homeward(found.middle, moment, found.decision.field)


def _release(found: _Found, decision: Decision, flight: Homeward | None) -> ReleaseOutlook:
    stage, advice = found.stage, found.advice
    t, z = advice.after_launch_s, advice.amsl_m
    burst = stage.burst_share.mean(axis=0)
    clock = np.arange(len(burst)) * stage.tracks.step_s
    now, later = np.interp([decision.release_by_s, decision.release_by_s + 120.0], clock, burst)
    crew = crew_ratio(stage.sortie.drop)
    nothing = float("nan")
    return ReleaseOutlook(
        field=stage.sortie.fields[decision.field].name,
        odds_ratio=decision.odds_ratio,
        open_ratio=decision.open_ratio,
        window=Window(
            from_after_launch_s=decision.from_s,
            to_after_launch_s=decision.to_s,
            from_amsl_m=float(np.interp(decision.from_s, t, z)),
            to_amsl_m=float(np.interp(decision.to_s, t, z)),
        ),
        release_by_after_launch_s=decision.release_by_s,
        release_by_amsl_m=float(np.interp(decision.release_by_s, t, z)),
        bound_by=decision.bound_by,
        burst_ratio=float(now),
        burst_within_120_s_ratio=float((later - now) / max(1.0 - now, 1e-9)),
        spare_m=flight.spare_m if flight else nothing,
        arrival_agl_m=stage.sortie.wish.arrival_agl_m,
        over_field_after_launch_s=flight.over_field_s if flight else nothing,
        best_glide_end_after_launch_s=flight.flattest_down_s if flight else nothing,
        firm_spiral_end_after_launch_s=flight.spiral_down_s if flight else None,
        must_end_after_launch_s=float(found.middle.haste.end_s[0]),
        must_end_by=must_end_by(found.middle),
        timely=_timely(flight),
        crew_ratio=crew,
        product_ratio=decision.odds_ratio * crew,
    )


def _timely(flight: Homeward | None) -> TimelyOutlook | None:
    if flight is None or flight.timely is None:
        return None
    timely = flight.timely
    return TimelyOutlook(
        spare_m=timely.spare_m,
        over_field_after_launch_s=timely.over_field_s,
        down_after_launch_s=timely.down_s,
        firm_spiral=timely.firm_spiral,
    )


def crew_ratio(drop: DropSpec) -> float:
    """Return the share of releases and pull-outs that work, at the 95 % bound of the crew's record.

    NaN when nothing was ever tried.
    """
    bounds = [
        failure_bound_ratio(drop.n_releases, drop.n_release_failures),
        failure_bound_ratio(drop.n_pullouts, drop.n_pullout_failures),
    ]
    return float(np.prod([1.0 - bound for bound in bounds]))


def _would_open(found: _Found, spots: tuple[LaunchSpot, ...]) -> tuple[str, ...]:
    sortie = found.stage.sortie
    if not sortie.fields:
        return ("prepare a field: none is in the flight file",)
    wish = sortie.wish
    hints = []
    good = [s for s in spots if s.odds_ratio >= wish.doubtful_ratio]
    if good:
        best = max(good, key=lambda s: s.odds_ratio)
        side = "up" if best.up_drift_m >= 0.0 else "down"
        hints.append(
            f"launch {abs(best.up_drift_m) / 1e3:.0f} km {side}-drift of {sortie.launch.name}"
        )
    j = moment_at(found.middle, median_burst_s(found.stage))
    east_m, north_m = east_north_m(
        found.middle.scene,
        float(found.middle.tracks.north_rad[0, j]),
        float(found.middle.tracks.east_rad[0, j]),
    )
    hints.append(
        f"a field under the end of the drift, {np.hypot(east_m, north_m) / 1e3:.0f} km toward "
        f"{np.degrees(np.arctan2(east_m, north_m)) % 360.0:.0f} degrees"
    )
    if found.advice.timely_ratio.max(initial=0.0) >= wish.open_ratio:
        hints.append("a stronger link, or a stand manned in time: all but the links lasts")
    elif found.advice.reach_ratio.max(initial=0.0) >= wish.open_ratio:
        more = "an earlier launch" if must_end_by(found.middle) == "light" else "larger packs"
        hints.append(f"{more}: by height alone a field is in reach")
    return tuple(hints)


def _contours(found: _Found) -> tuple[Contour, ...]:
    """Return the lines of the chosen field and of the first other one that is ever open."""
    middle, n_fields = found.middle, len(found.middle.sortie.fields)
    chosen = found.decision.field if found.decision else 0
    best = found.advice.open_ratio.max(axis=0, initial=0.0)
    others = [
        i for i in range(n_fields) if i != chosen and best[i] >= middle.sortie.wish.open_ratio
    ]
    shown = sorted([i for i in (chosen, *others[:1]) if i < n_fields])
    lines = (contour(middle, field, 1000.0 * km) for field in shown for km in CONTOUR_KM)
    return tuple(line for line in lines if line is not None)
