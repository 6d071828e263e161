"""Decided: the first part of a plan, all that the crew decides by, before anything is compared."""

from dataclasses import dataclass, replace
from math import isfinite
from typing import Any, NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.chances.trial import median_burst_s
from farglide.outlook.ascent import AscentOutlook
from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.fields import FieldOutlook, Gap
from farglide.outlook.links import LinksOutlook
from farglide.outlook.release import ReleaseOutlook
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
from farglide.plan.verdict import verdict
from farglide.plan.weak.pictures import blind_release
from farglide.plan.why import Cover, why
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


class _Answer(NamedTuple):
    """What the crew decides by, under the names that the outlook has for it."""

    fields: tuple[FieldOutlook, ...]
    release: ReleaseOutlook | None
    ascent: AscentOutlook
    gaps: tuple[Gap, ...]
    gap_s: float
    verdict: str
    order: str
    why: str


def _decision_outlook(
    found: Planned, pack: Pack, flight: Homeward | None, heard: LinksOutlook
) -> DecisionOutlook:
    case, decision, waiting = found.case, found.decision, waits(found.base)
    sortie, drawn, answer = case.sortie, case.drawn, _answer(found, flight)
    if decision is not None and decision.above_wanted:
        waiting = waits_from(waiting, decision.chance_ratio)
    return DecisionOutlook(
        **answer._asdict(),
        **_stated(sortie),
        **_winds(sortie, pack.sounding),
        ground_wind_mps=ground_wind_mps(drawn),
        n_draws=drawn.grain.n_draws,
        seed=drawn.grain.seed,
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
        packs=pack_ends(drawn),
        sun=sun_outlook(drawn, found.drawn_moment, decision.field if decision else 0),
        suspicions=(*suspicions(sortie, pack), *guessed_limit(answer.fields)),
    )


def _answer(found: Planned, flight: Homeward | None) -> _Answer:
    """Return fields, release and climb, and what they come to in sentences."""
    case, decision, chances = found.case, found.decision, found.chances
    sortie, (end_s, end) = case.sortie, climb_end(found)
    fields = field_outlooks(case, chances, for_all_fields(found).drawn)
    release = release_outlook(found, decision, flight) if decision else None
    if release and decision and ends_by_speed(fields[decision.field], release):
        release = replace(release, bound_by="speeds")
    ascent, shut = ascent_outlook(case.drawn), gaps(sortie, chances, end_s)
    cover = Cover(shut, end_s, end, ascent.beyond_amsl_m, float(np.nanmax(chances.amsl_m)))
    return _Answer(
        fields=fields,
        release=release,
        ascent=ascent,
        gaps=shut,
        gap_s=sum(one.to_after_launch_s - one.from_after_launch_s for one in shut),
        verdict=verdict(sortie, release, fields),
        order=by_when(sortie, release, fields),
        why=why(sortie, release, fields, cover),
    )


def _stated(sortie: Sortie) -> dict[str, Any]:
    """Return what the flight file says of launch, permissions, wishes and guesses."""
    launch, wish = sortie.launch, sortie.wish
    missing = sortie.permissions_in("missing")
    return {
        "name": sortie.name, "launch_t_s": launch.t_s, "zone": launch.zone,
        "launch_name": launch.name,
        "launch_lat_deg": launch.lat_deg, "launch_lon_deg": launch.lon_deg,
        "open_ratio": wish.open_ratio, "doubtful_ratio": wish.doubtful_ratio,
        "enough_ratio": wish.enough_ratio, "ground_wind_limit_mps": wish.ground_wind_limit_mps,
        "cleared": not missing, "missing": missing, "asked": sortie.permissions_in("asked"),
        "guesses": guess_words(sortie), "usual": usual_words(sortie),
    }  # fmt: skip


def _winds(sortie: Sortie, sounding: Sounding) -> dict[str, Any]:
    """Return where the winds come from, and how far they are from the launch in time and place."""
    has_place = isfinite(sounding.lat_deg) and isfinite(sounding.lon_deg)
    return {
        "wind_origin": sounding.origin, "wind_age_s": sortie.launch.t_s - sounding.t_s,
        "wind_distance_m": apart_of(sortie, sounding).distance_m if has_place else None,
    }  # fmt: skip


def climb_end(found: Planned) -> tuple[float, str]:
    """Return until when a field is wanted, and what happens then, in words."""
    drawn = found.case.drawn
    if float(drawn.climbs.burst_ratio.max()) >= 0.5:
        return median_burst_s(drawn), "when 5 in 10 have burst"
    return float(found.chances.after_launch_s[-1]), "where this plan ends"
