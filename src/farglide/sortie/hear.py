"""Hear: a flight file and its winds in, every link along the planned flight out."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from farglide.sim.workers import Workers, in_one_go
from farglide.sortie.advise import advise
from farglide.sortie.asked import Asked
from farglide.sortie.carplan import links_outlook
from farglide.sortie.causes import expected_pictures
from farglide.sortie.decide import decide
from farglide.sortie.failures import failures
from farglide.sortie.fill import with_solved_fill
from farglide.sortie.flightfile import FlightFile
from farglide.sortie.glides import middle_stage
from farglide.sortie.hardware import Failures
from farglide.sortie.heardoutlook import LinksOutlook
from farglide.sortie.homeward import homeward
from farglide.sortie.linkgear import LinkGear, gear_of
from farglide.sortie.pack import Pack
from farglide.sortie.polarfit import with_fitted_polar
from farglide.sortie.radioneighbours import Neighbours, neighbours_of
from farglide.sortie.staged import moment_at, staged
from farglide.sortie.weaker import LOSSES_DB, release_of, weaker_links
from farglide.sortie.weakeroutlook import ExpectedPicture, WeakerLink
from farglide.sortie.whatif import (
    median_burst_s,
    moments_of,
    small,
    small_asked,
    with_chosen_field,
)

USUAL_DB: Final = (0.0, *LOSSES_DB)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """All links of a flight from all stands, released where the plan says."""

    name: str
    launch_t_s: float
    zone: str
    release_after_launch_s: float  # the median burst where nothing is worth a release
    field: str  # empty then
    outlook: LinksOutlook
    neighbours: Neighbours
    failures: Failures | None
    weaker: tuple[WeakerLink, ...]
    expected: tuple[ExpectedPicture, ...]
    gear: tuple[LinkGear, ...] = ()  # of each link, in the order of the outlook's


def hear(
    flight: FlightFile,
    pack: Pack,
    asked: Asked | None = None,
    workers: Workers = in_one_go,
    losses_db: Sequence[float] = USUAL_DB,
) -> Heard:
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
    return Heard(
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
        gear=tuple(gear_of(spec) for spec in sortie.links),
    )
