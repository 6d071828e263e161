"""By which link a feed of the glider comes."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.sortie.feedlinks import link_of
from farglide.sortie.feeds import FeedSpec, Where
from farglide.sortie.spec import Sortie


@pytest.fixture
def flown(demo_flight: FlightFile) -> Sortie:
    """Return a flight with a picture, a command, and a beacon for positions."""
    sortie = demo_flight.sortie
    one = sortie.links[0]
    names = (("picture", "picture"), ("command", "command"), ("beacon", "position"))
    links = tuple(replace(one, name=name, purpose=purpose) for name, purpose in names)
    return replace(sortie, links=links, feeds=())


def feed(name: str, link: str = "") -> FeedSpec:
    return FeedSpec(name=name, where=Where(kind="tcp", port=1), format="nmea", link=link)


def test_what_is_stated_comes_first(flown: Sortie) -> None:
    stated = replace(flown, feeds=(feed("command", "picture"), feed("tracker", "command")))
    assert link_of(stated, "command") == 0
    assert link_of(stated, "tracker") == 1


def test_else_the_name_and_else_the_only_link_for_positions(flown: Sortie) -> None:
    assert link_of(flown, "command") == 1
    assert link_of(flown, "tracker") == 2
    two = replace(flown, links=(*flown.links, replace(flown.links[2], name="second")))
    assert link_of(two, "tracker") is None
    assert link_of(replace(two, feeds=(feed("tracker", "second"),)), "tracker") == 3
