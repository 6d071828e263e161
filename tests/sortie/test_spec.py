"""A sortie: what hangs below the balloon, and which permissions are in which state."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile


def test_glider_and_line_hang_below_the_balloon(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    heavier = replace(sortie, train=replace(sortie.train, line_kg=sortie.train.line_kg + 0.05))
    assert heavier.hanging_kg - sortie.hanging_kg == pytest.approx(0.05)


def test_permissions_are_told_by_their_state(demo_flight: FlightFile) -> None:
    states = (("airspace", "asked"), ("land", "held"), ("command_radio", "asked"))
    sortie = replace(demo_flight.sortie, permissions=states)
    assert sortie.permissions_in("asked") == ("airspace", "command_radio")
    assert sortie.permissions_in("held") == ("land",)
    assert sortie.permissions_in("missing") == ()
