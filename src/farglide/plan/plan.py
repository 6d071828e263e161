"""Plan: a flight file and its winds in, the whole outlook out, or its links alone."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from farglide.chances.area import launch_area
from farglide.chances.case import median_place
from farglide.chances.trial import median_burst_s
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.links import FlightLinks
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import FlownOutlook, ReleaseOutlook
from farglide.plan.ascent import ascent_outlook
from farglide.plan.changes import added_field, as_planned, gains, latest_delay_s, waits
from farglide.plan.charted import chart_outlook
from farglide.plan.faults.failures import failures
from farglide.plan.faults.unsteered import seconds_left, unsteered
from farglide.plan.home.sideview import side_view, speed_rows
from farglide.plan.launching import launch_headline
from farglide.plan.links.carplan import links_outlook
from farglide.plan.links.neighbours import neighbours_of
from farglide.plan.notes import plan_notes
from farglide.plan.order import ends_by_speed
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.places.fieldviews import contours, field_outlooks
from farglide.plan.places.gaps import gaps
from farglide.plan.planned import Planned, Progress, for_all_fields, no_progress, planned, settled
from farglide.plan.release import flown_outlook, release_outlook, would_open
from farglide.plan.tables import fill_outlook, glider_rows, pack_ends, sender_heats, sun_outlook
from farglide.plan.unknowns import unknowns
from farglide.plan.verdict import Cover, verdict, why
from farglide.plan.weak.pictures import blind_release, expected_pictures
from farglide.plan.weak.weaker import LOSSES_DB, weaker_links
from farglide.rig.cells import cell_heats
from farglide.rig.links import antennas_of, gear_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

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
USUAL_DB: Final = (0.0, *LOSSES_DB)


def plan_file(
    flight: FlightFile,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> Outlook:
    """Return the outlook of a flight file: its polar fitted, its fill solved, its notes kept."""
    flight = settled(flight, pack)
    outlook = plan(flight.sortie, pack, grain, workers, progress)
    return replace(outlook, notes=(*flight.notes, *outlook.notes))


def plan(
    sortie: Sortie,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> Outlook:
    """Return the outlook of a flight in the air of a pack.

    `progress` is told, in words, what is being worked on.
    """
    found = planned(sortie, pack, grain, workers, progress)
    case, decision, chances, moment = found.case, found.decision, found.chances, found.moment
    drawn, plain, flight = case.drawn, case.plain, found.way_home()
    climb_end = _climb_end(found)
    shut = gaps(sortie, chances, climb_end[0])
    gaps_s = [(one.from_after_launch_s, one.to_after_launch_s) for one in shut]
    fields = field_outlooks(case, chances, for_all_fields(found).drawn)
    ascent = ascent_outlook(drawn)
    top_m = float(np.nanmax(chances.amsl_m))
    cover = Cover(shut, *climb_end, ascent.beyond_amsl_m, top_m)
    release = release_outlook(found, decision, flight) if decision else None
    if release and decision and ends_by_speed(fields[decision.field], release):
        release = replace(release, bound_by="speeds")
    area = launch_area(for_all_fields(found).drawn, case.terrain)
    waiting = waits(found.base)
    heard = links_outlook(found, flight)
    barriers = _barriers(found)
    held = " and ".join(chances.holding.purposes) if chances.holding else ""
    open_means = _LINKS_HELD.format(held) if held else _LINKS_UNKNOWN
    missing = tuple(what for what, state in sortie.permissions if state == "missing")
    return Outlook(
        name=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        launch_name=sortie.launch.name,
        n_draws=grain.n_draws,
        seed=grain.seed,
        wind_origin=pack.sounding.origin,
        wind_age_s=sortie.launch.t_s - pack.sounding.t_s,
        verdict=verdict(sortie, release),
        elsewhere=launch_headline(sortie, area, decision is not None and not decision.above_wanted),
        why=why(sortie, release, fields, cover),
        cleared=not missing,
        missing=missing,
        open_ratio=sortie.wish.open_ratio,
        doubtful_ratio=sortie.wish.doubtful_ratio,
        enough_ratio=sortie.wish.enough_ratio,
        ascent=ascent,
        fields=fields,
        gap_s=sum(b - a for a, b in gaps_s),
        gaps=shut,
        release=release,
        would_open=() if release else would_open(found, area),
        fill=fill_outlook(plain),
        packs=pack_ends(drawn),
        cells=cell_heats(sortie, drawn.air.column),
        transmitters=sender_heats(plain, moment, flight),
        failures=failures(plain, chances, decision, moment),
        sun=sun_outlook(drawn, found.drawn_moment, decision.field if decision else 0),
        latest_launch_delay_s=latest_delay_s(waiting, 0.95) if waiting else None,
        holds=waiting,
        as_planned=as_planned(found.base),
        gains=(*added_field(found.base, chances, gaps_s), *gains(found.base, area)),
        launch=area,
        unknowns=unknowns(found.base),
        flown=_flown(found, release),
        unsteered=unsteered(drawn, found.drawn_moment),
        seconds_left=seconds_left(plain, moment),
        glider=glider_rows(plain),
        speeds=speed_rows(plain, flight) if flight else (),
        links=heard.links,
        held=heard.held,
        car=heard.car,
        weaker=weaker_links(found, heard),
        blind=blind_release(found, heard),
        expected=expected_pictures(sortie, heard, found.after_launch_s),
        skies=heard.skies,
        ground=heard.ground,
        barriers=barriers,
        side=side_view(case, flight, barriers),
        contours=contours(plain, chances, decision),
        chart=chart_outlook(sortie, ascent, area, case.terrain),
        notes=plan_notes(drawn, pack),
        levels_note="Flight levels from the pressure of the column, not from heights.",
        cautions=(open_means, *_CAUTIONS),
    )


def _flown(found: Planned, release: ReleaseOutlook | None) -> FlownOutlook | None:
    """Return all draws flown to the last order of the window."""
    if found.decision is None or release is None:
        return None
    drawn, field = found.case.drawn, found.decision.field
    if not release.by_height:
        return flown_outlook(drawn, field, release.release_by_after_launch_s)
    return flown_outlook(drawn, field, release.until_after_launch_s, release.release_by_amsl_m)


def _climb_end(found: Planned) -> tuple[float, str]:
    """Return until when a field is wanted, and what happens then, in words."""
    drawn = found.case.drawn
    if float(drawn.climbs.burst_ratio.max()) >= 0.5:
        return median_burst_s(drawn), "the median burst"
    return float(found.chances.after_launch_s[-1]), "the end of this plan"


def _barriers(found: Planned) -> tuple[BarrierWay, ...]:
    """Return the ways over barriers from the planned release to the chosen field."""
    decision = found.decision
    if decision is None or not found.case.sortie.barriers:
        return ()
    place = median_place(found.case.drawn, decision.release_by_s)
    return barrier_ways(for_all_fields(found), "the planned release", place, (decision.field,))


def hear(
    flight: FlightFile,
    pack: Pack,
    grain: Grain | None = None,
    workers: Workers = in_one_go,
    losses_db: Sequence[float] = USUAL_DB,
) -> FlightLinks:
    """Return the links of a flight, with the same numbers as its plan.

    `losses_db`: by how much each link is tried weaker.
    """
    flight = settled(flight, pack)
    sortie = flight.sortie
    found = planned(sortie, pack, grain or Grain(), workers)
    outlook = links_outlook(found, found.way_home())
    return FlightLinks(
        name=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        release_after_launch_s=found.release_s,
        field=found.field,
        neighbours=neighbours_of(sortie),
        outlook=outlook,
        failures=failures(found.case.plain, found.chances, found.decision, found.moment),
        weaker=weaker_links(found, outlook, losses_db),
        expected=expected_pictures(sortie, outlook, found.after_launch_s),
        antennas=tuple(antennas_of(gear_of(spec)) for spec in sortie.links),
    )
