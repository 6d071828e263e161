"""Due: each feed by itself, from report to report, carried or free."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.review.due import dues_of
from farglide.review.flown import Flown, Heard
from farglide.sortie.feeds import FeedSpec, Where
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been

SECONDS = np.arange(0.0, 7200.0, 10.0)
BEEN = Been(SECONDS, 5.0 * SECONDS, np.zeros(720), np.zeros(720))


@pytest.fixture
def flown(demo_flight: FlightFile) -> Sortie:
    """Return a flight with two links for positions, each with a feed."""
    sortie = demo_flight.sortie
    one = sortie.links[0]
    links = tuple(replace(one, name=name, purpose="position") for name in ("near", "far"))
    where = Where(kind="tcp", port=1)
    feeds = tuple(
        FeedSpec(name=name, where=where, format="nmea", link=link)
        for name, link in (("a", "near"), ("b", "far"))
    )
    return replace(sortie, links=links, feeds=feeds)


def silent(sortie: Sortie, link: int, **times: Sequence[float]) -> list[float]:
    """Return when reports of a link were due and did not come."""
    t_s = sortie.launch.t_s
    heard = tuple(Heard(t_s + at_s, feed) for feed, some in times.items() for at_s in some)
    made = Flown(path="", is_log=True, is_finished=True, fixes=(), heard=heard)
    found = list(dues_of(made, sortie, link, BEEN))
    assert sum(one.is_heard for one in found) == len(times[("a", "b")[link]])
    return [one.after_launch_s for one in found if not one.is_heard]


def every(step_s: float, *spans: tuple[float, float]) -> list[float]:
    return [float(t) for low, high in spans for t in np.arange(low, high, step_s)]


def test_another_feed_does_not_hide_a_silence(flown: Sortie) -> None:
    """The first is not heard from T+30 to T+40 of the climb, the second all the time."""
    first, second = every(5.0, (0.0, 1800.0), (2400.0, 7200.0)), every(5.0, (0.0, 7200.0))
    assert silent(flown, 0, a=first, b=second) == every(60.0, (1885.0, 2340.0))
    assert silent(flown, 1, a=first, b=second) == []


def test_a_silence_that_does_not_end_tells_once(flown: Sortie) -> None:
    """Its sender may be dead, which no margin explains."""
    assert silent(flown, 0, a=every(5.0, (0.0, 3000.0)), b=()) == [3085.0]
    assert silent(flown, 0, a=every(5.0, (0.0, 7195.0)), b=()) == []


def test_above_where_its_receiver_stops_nothing_is_due(flown: Sortie) -> None:
    """It stops at 18 km, T+60, and is heard again from T+90 on."""
    times = every(5.0, (0.0, 3600.0), (5400.0, 7200.0))
    assert len(silent(flown, 0, a=times, b=())) > 20
    stops = replace(flown.feeds[0], stops_above_m=18_000.0)
    assert silent(replace(flown, feeds=(stops, flown.feeds[1])), 0, a=times, b=()) == []


def test_one_report_has_no_usual_interval(flown: Sortie) -> None:
    assert silent(flown, 0, a=[60.0], b=()) == []
