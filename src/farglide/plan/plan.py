"""Plan: a flight file and its winds in, the whole outlook out, or its links alone."""

from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Final

from farglide.chances.area import launch_area
from farglide.chances.case import median_place
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.barriers import BarrierWay
from farglide.outlook.links import FlightLinks
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import FlownOutlook, ReleaseOutlook
from farglide.plan.cautions import cautions
from farglide.plan.changes import added_field, as_planned, gains
from farglide.plan.charted import chart_outlook
from farglide.plan.decided import Decided, decided
from farglide.plan.faults.failures import failures
from farglide.plan.home.sideview import side_view, speed_rows
from farglide.plan.launching import launch_headline
from farglide.plan.links.carplan import links_outlook
from farglide.plan.links.neighbours import neighbours_of
from farglide.plan.notes import plan_notes
from farglide.plan.places.barrier_heights import barrier_ways
from farglide.plan.places.fieldviews import contours
from farglide.plan.planned import Planned, Progress, for_all_fields, no_progress, planned, settled
from farglide.plan.release import flown_outlook, would_open
from farglide.plan.suspicions import untold
from farglide.plan.tables import glider_rows, sender_heats
from farglide.plan.unknowns import unknowns
from farglide.plan.weak.pictures import expected_pictures
from farglide.plan.weak.weaker import LOSSES_DB, weaker_links
from farglide.rig.cells import cell_heats
from farglide.rig.links import antennas_of, gear_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

USUAL_DB: Final = (0.0, *LOSSES_DB)


def plan_file(
    flight: FlightFile,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> Outlook:
    """Return the outlook of a flight file: its polar fitted, its fill solved, its notes kept."""
    return completed(decided_file(flight, pack, grain, workers, progress), progress)


def decided_file(
    flight: FlightFile,
    pack: Pack,
    grain: Grain,
    workers: Workers = in_one_go,
    progress: Progress = no_progress,
) -> Decided:
    """Return the decision of a flight file, to be completed: after about two fifths of the work."""
    flight = settled(flight, pack)
    found = decided(flight.sortie, pack, grain, workers, progress)
    return replace(found, notes=flight.notes)


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
    return completed(decided(sortie, pack, grain, workers, progress), progress)


def completed(begun: Decided, progress: Progress = no_progress) -> Outlook:
    """Return the whole outlook: the decision as it stands, and what is compared with it."""
    found, told, heard = begun.found, begun.outlook, begun.heard
    case, decision, sortie = found.case, found.decision, found.case.sortie
    drawn, plain, flight, moment = case.drawn, case.plain, begun.flight, found.moment
    progress("comparing launch spots")
    area = launch_area(for_all_fields(found).drawn, case.terrain)
    barriers = _barriers(found)
    gaps_s = [(one.from_after_launch_s, one.to_after_launch_s) for one in told.gaps]
    progress("trying what would make it better")
    first = {one.name: getattr(told, one.name) for one in fields(told)}
    return Outlook(
        **first,
        elsewhere=launch_headline(sortie, area, decision is not None and not decision.above_wanted),
        would_open=() if told.release else would_open(found, area),
        launch=area,
        as_planned=as_planned(found.base),
        gains=(*added_field(found.base, found.chances, gaps_s), *gains(found.base, area)),
        unknowns=unknowns(found.base),
        barriers=barriers,
        speeds=speed_rows(plain, flight) if flight else (),
        glider=glider_rows(plain),
        flown=_flown(found, told.release),
        expected=expected_pictures(sortie, heard, found.released_s),
        weaker=weaker_links(found, heard),
        failures=failures(plain, found.chances, decision, moment),
        cells=cell_heats(sortie, drawn.air.column),
        transmitters=sender_heats(plain, moment, flight),
        side=side_view(case, flight, barriers),
        contours=contours(plain, found.chances, decision),
        chart=chart_outlook(sortie, told.ascent, area, case.terrain),
        levels_note="Flight levels follow from the pressure of the air, not from heights.",
        notes=untold((*begun.notes, *plan_notes(drawn, begun.pack)), told.suspicions),
        cautions=cautions(sortie.balloon.gas, found.chances.holding),
    )


def _flown(found: Planned, release: ReleaseOutlook | None) -> FlownOutlook | None:
    """Return all draws flown to the last order of the window."""
    if found.decision is None or release is None:
        return None
    drawn, field = found.case.drawn, found.decision.field
    if not release.by_height:
        return flown_outlook(drawn, field, release.release_by_after_launch_s)
    return flown_outlook(drawn, field, release.until_after_launch_s, release.release_by_amsl_m)


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
        expected=expected_pictures(sortie, outlook, found.released_s),
        antennas=tuple(antennas_of(gear_of(spec)) for spec in sortie.links),
    )
