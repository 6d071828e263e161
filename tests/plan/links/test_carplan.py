"""Car plans: which stand serves the release, and what a move costs."""

from dataclasses import replace

from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import Trial
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.links.carplan import _moves, links_outlook, lost_pictures
from farglide.plan.planned import Planned


def test_a_stated_drive_counts_for_going_on(demo_flight: FlightFile) -> None:
    """Two stands at 40 and 110 minutes from the launch lie an hour or more apart."""
    home, knap, gap = demo_flight.sortie.stands
    stands = (home, replace(knap, drive_s=2400.0), replace(gap, drive_s=6600.0))
    sortie = replace(demo_flight.sortie, stands=stands)
    lost = {one.stand: one.agl_m for one in lost_pictures(sortie, 0, None)}
    moves = {move.stand: move for move in _moves(sortie, stands[1], lost | {knap.name: None})}
    assert moves[gap.name].silent_s >= 4200.0 + sortie.set_up_s


def test_the_picture_of_each_stand_is_lost_at_a_height(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    found = {one.stand: one.agl_m for one in lost_pictures(sortie, 0, None)}
    assert list(found) == [stand.name for stand in sortie.stands]
    assert found["Harrowend strip"] == 0.0  # it stands on the field
    assert lost_pictures(replace(sortie, links=sortie.links[1:]), 0, None) == ()


def test_without_ears_no_link_is_told(base: Trial, plain: Ensemble) -> None:
    case = Case(drawn=base.ensemble, plain=plain)
    planned = Planned(case=case, chances=base.chances, decision=None, base=base)
    found = links_outlook(planned, None)
    assert (found.held, found.car, found.ground, found.skies) == ((), None, "", ())
