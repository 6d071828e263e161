"""Heard: the grade of a picture and the chance of its link by one margin."""

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.live.asked.heard import heard_of


def test_a_picture_has_a_grade_and_a_command_has_none(demo_flight: FlightFile) -> None:
    links = {one.purpose: one for one in demo_flight.sortie.links}
    picture, command = heard_of(links["picture"], 15.0), heard_of(links["command"], 15.0)
    assert picture.grade is not None
    assert picture.grade >= 3
    assert command.grade is None
    assert picture.margin_db == command.margin_db == 15.0
    assert picture.holds_ratio > 0.9


def test_what_is_far_below_its_threshold_is_bounded(demo_flight: FlightFile) -> None:
    link = next(one for one in demo_flight.sortie.links if one.purpose == "picture")
    found = heard_of(link, -1e6)
    assert found.grade == 0
    assert found.margin_db > -1e3
    assert found.holds_ratio == pytest.approx(0.0, abs=1e-6)
