"""Car plans: which stand serves the release, and what a move costs."""

from dataclasses import replace

from farglide.flightfile.flightfile import FlightFile
from farglide.plan.links.carplan import _moves


def test_a_stated_drive_counts_for_going_on(demo_flight: FlightFile) -> None:
    """Two stands at 40 and 110 minutes from the launch lie an hour or more apart."""
    home, knap, gap = demo_flight.sortie.stands
    stands = (home, replace(knap, drive_s=2400.0), replace(gap, drive_s=6600.0))
    sortie = replace(demo_flight.sortie, stands=stands)
    moves = {move.stand: move for move in _moves(sortie, (stands[1], None), 0, None)}
    assert moves[gap.name].silent_s >= 4200.0 + sortie.set_up_s
