"""Decided: the first part of a plan, all that the crew decides by, before anything is compared."""

from dataclasses import dataclass, replace
from math import isfinite

import numpy as np

from farglide.chances.trial import median_burst_s
from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.links import LinksOutlook
from farglide.plan.ascent import ascent_outlook
from farglide.plan.changes import latest_delay_s, waits, waits_from
from farglide.plan.faults.unsteered import seconds_left, unsteered
from farglide.plan.guesses import guess_words, usual_words
from farglide.plan.home.homeward import Homeward
from farglide.plan.links.carplan import links_outlook
from farglide.plan.notes import ground_wind_mps
from farglide.plan.order import by_when, ends_by_speed
from farglide.plan.places.fieldviews import field_outlooks
from farglide.plan.places.gaps import gaps
from farglide.plan.planned import Planned, Progress, for_all_fields, no_progress, planned
from farglide.plan.release import release_outlook
from farglide.plan.suspicions import guessed_limit, suspicions
from farglide.plan.tables import fill_outlook, pack_ends, sun_outlook
from farglide.plan.verdict import Cover, verdict, why
from farglide.plan.weak.pictures import blind_release
from farglide.rig.winds import apart_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """A plan whose decision stands: what was found for it, and what it says already."""

    pack: Pack
    found: Planned
    flight: Homeward | None  # the flights home without errors
    heard: LinksOutlook
    outlook: DecisionOutlook
    notes: tuple[str, ...] = ()  # on the flight file


def decided(
    sortie: Sortie,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> Decided:
    """Return the decision of a flight in the air of a pack, and what stands beside it.

    `progress` is told, in words, what is being worked on.
    """
    found = planned(sortie, pack, grain, workers, progress)
    flight = found.way_home()
    heard = links_outlook(found, flight)
    outlook = _decision_outlook(found, pack, flight, heard)
    return Decided(pack=pack, found=found, flight=flight, heard=heard, outlook=outlook)


def _decision_outlook(
    found: Planned, pack: Pack, flight: Homeward | None, heard: LinksOutlook
) -> DecisionOutlook:
    case, decision, chances = found.case, found.decision, found.chances
    sortie, drawn, grain = case.sortie, case.drawn, case.drawn.grain
    end_s, end = climb_end(found)
    shut = gaps(sortie, chances, end_s)
    fields = field_outlooks(case, chances, for_all_fields(found).drawn)
    ascent = ascent_outlook(drawn)
    release = release_outlook(found, decision, flight) if decision else None
    if release and decision and ends_by_speed(fields[decision.field], release):
        release = replace(release, bound_by="speeds")
    cover = Cover(shut, end_s, end, ascent.beyond_amsl_m, float(np.nanmax(chances.amsl_m)))
    waiting, sounding = waits(found.base), pack.sounding
    if decision is not None and decision.above_wanted:
        waiting = waits_from(waiting, decision.chance_ratio)
    has_place = isfinite(sounding.lat_deg) and isfinite(sounding.lon_deg)
    states = dict(sortie.permissions)
    missing = tuple(what for what, state in states.items() if state == "missing")
    return DecisionOutlook(
        name=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        launch_name=sortie.launch.name,
        launch_lat_deg=sortie.launch.lat_deg,
        launch_lon_deg=sortie.launch.lon_deg,
        verdict=verdict(sortie, release, fields),
        order=by_when(sortie, release, fields),
        why=why(sortie, release, fields, cover),
        release=release,
        fields=fields,
        gap_s=sum(one.to_after_launch_s - one.from_after_launch_s for one in shut),
        gaps=shut,
        open_ratio=sortie.wish.open_ratio,
        doubtful_ratio=sortie.wish.doubtful_ratio,
        enough_ratio=sortie.wish.enough_ratio,
        cleared=not missing,
        missing=missing,
        asked=tuple(what for what, state in states.items() if state == "asked"),
        ground_wind_mps=ground_wind_mps(drawn),
        ground_wind_limit_mps=sortie.wish.ground_wind_limit_mps,
        wind_origin=sounding.origin,
        wind_age_s=sortie.launch.t_s - sounding.t_s,
        wind_distance_m=apart_of(sortie, sounding).distance_m if has_place else None,
        n_draws=grain.n_draws,
        seed=grain.seed,
        latest_launch_delay_s=latest_delay_s(waiting, 0.95) if waiting else None,
        holds=waiting,
        car=heard.car,
        links=heard.links,
        held=heard.held,
        skies=heard.skies,
        ground=heard.ground,
        blind=blind_release(found, heard),
        fill=fill_outlook(case.plain),
        seconds_left=seconds_left(case.plain, found.moment),
        unsteered=unsteered(drawn, found.drawn_moment),
        ascent=ascent,
        packs=pack_ends(drawn),
        sun=sun_outlook(drawn, found.drawn_moment, decision.field if decision else 0),
        suspicions=(*suspicions(sortie, pack), *guessed_limit(fields)),
        guesses=guess_words(sortie),
        usual=usual_words(sortie),
    )


def climb_end(found: Planned) -> tuple[float, str]:
    """Return until when a field is wanted, and what happens then, in words."""
    drawn = found.case.drawn
    if float(drawn.climbs.burst_ratio.max()) >= 0.5:
        return median_burst_s(drawn), "when 5 in 10 have burst"
    return float(found.chances.after_launch_s[-1]), "where this plan ends"
