"""Hear: a flight file and its winds in, every link along the planned flight out."""

from collections.abc import Sequence
from typing import Final

from farglide.chances.advise import advise
from farglide.chances.decide import decide
from farglide.chances.staged import moment_at, staged
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import FlightLinks
from farglide.plan.faults.failures import failures
from farglide.plan.fill import with_solved_fill
from farglide.plan.home.glides import middle_stage
from farglide.plan.home.homeward import homeward
from farglide.plan.links.carplan import links_outlook
from farglide.plan.links.neighbours import neighbours_of
from farglide.plan.polarfit import with_fitted_polar
from farglide.plan.weak.causes import expected_pictures
from farglide.plan.weak.weaker import LOSSES_DB, release_of, weaker_links
from farglide.plan.whatif import (
    median_burst_s,
    moments_of,
    small,
    small_asked,
    with_chosen_field,
)
from farglide.rig.antennas import antennas_of
from farglide.rig.links import gear_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Asked
from farglide.sortie.pack import Pack

USUAL_DB: Final = (0.0, *LOSSES_DB)


def hear(
    flight: FlightFile,
    pack: Pack,
    asked: Asked | None = None,
    workers: Workers = in_one_go,
    losses_db: Sequence[float] = USUAL_DB,
) -> FlightLinks:
    """Return the links of a flight, with the same numbers as its plan.

    `losses_db`: by how much each link is tried weaker.
    """
    flight = with_solved_fill(with_fitted_polar(flight), pack.sounding)
    sortie = flight.sortie
    stage, asked = staged(sortie, pack, asked or Asked(), workers)
    middle = middle_stage(stage, pack.sounding)
    advice = advise(stage, moments_of(stage))
    decision = decide(stage, advice)
    release_s = decision.release_by_s if decision else median_burst_s(stage)
    moment = moment_at(middle, release_s)
    way = homeward(middle, moment, decision.field) if decision else None
    outlook = links_outlook((stage, middle), advice, decision, (moment, way), pack.terrain)
    base = small(with_chosen_field(sortie, decision), pack.sounding, small_asked(asked), stage)
    release = release_of((stage, middle), base, advice, decision, (moment, pack.terrain))
    return FlightLinks(
        name=sortie.name,
        launch_t_s=sortie.launch.t_s,
        zone=sortie.launch.zone,
        release_after_launch_s=release_s,
        field=sortie.fields[decision.field].name if decision else "",
        neighbours=neighbours_of(sortie),
        outlook=outlook,
        failures=failures(middle, advice, decision, moment),
        weaker=weaker_links(release, outlook, losses_db),
        expected=expected_pictures(sortie, outlook, release.after_launch_s),
        antennas=tuple(antennas_of(gear_of(spec)) for spec in sortie.links),
    )
