"""Hear: a flight file and its winds in, every link along the planned flight out."""

from collections.abc import Sequence
from typing import Final

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import FlightLinks
from farglide.plan.faults.failures import failures
from farglide.plan.links.carplan import links_outlook
from farglide.plan.links.neighbours import neighbours_of
from farglide.plan.planned import planned, settled
from farglide.plan.weak.pictures import expected_pictures
from farglide.plan.weak.weaker import LOSSES_DB, weaker_links
from farglide.rig.links import antennas_of, gear_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

USUAL_DB: Final = (0.0, *LOSSES_DB)


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
