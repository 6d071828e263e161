"""A release of the demo with its links, for the tests of weak links."""

from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.decision import decide
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.trial import coarse_trial
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import LinksOutlook
from farglide.plan.links.carplan import links_outlook
from farglide.plan.planned import Planned
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain

MINUTE_S = 60.0


def _links(release: Planned) -> LinksOutlook:
    return links_outlook(release, release.way_home())


@pytest.fixture(scope="package")
def asked(demo_flight: FlightFile, demo_sounding: Sounding) -> tuple[Planned, LinksOutlook]:
    """Return a release at T+76 over flat ground, the climb begun at sea level as the numbers do."""
    sortie = replace(demo_flight.sortie, launch=replace(demo_flight.sortie.launch, amsl_m=0.0))
    few = Grain(n_draws=100, prices_mps=(8.0,), slab=5)
    ensemble = replace(
        drawn_ensemble(sortie, demo_sounding, few), listening=listening_of(sortie, None)
    )
    case = with_plain(ensemble)
    chances = chances_of_heights(ensemble)
    decision = decide(ensemble, chances)
    assert decision is not None
    at_76 = replace(decision, release_by_s=76.0 * MINUTE_S)
    base = coarse_trial(ensemble, decision)
    release = Planned(case=case, chances=chances, decision=at_76, base=base)
    return release, _links(release)
