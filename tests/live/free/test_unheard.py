"""Unheard: which link a feed comes by, and what its silence says to the stories of a ride."""

from dataclasses import replace

import numpy as np
import pytest
from tests.track.filter.made import ensemble, laws

from farglide.live.free.followed import Follower, at_moment, followed
from farglide.live.free.unheard import spells
from farglide.live.ride.state import FeedNow, Ride
from farglide.live.ride.task import Entered
from farglide.sortie.feedlinks import link_of
from farglide.sortie.spec import Sortie
from farglide.track.filter.observed import LinkHeard, LinkSilent
from farglide.track.filter.particles import Story, dead_ratios, story_weights
from farglide.track.reports import Fix
from farglide.track.typed.entries import Mark, MarkKind

LAUNCH_T_S = laws().launch_t_s
FREE_S = 4560.0
HEARD_S = FREE_S + 10.0


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    """Return the demo, its picture's link one for positions."""
    sortie = ensemble().sortie
    picture, command = sortie.links
    return replace(sortie, links=(replace(picture, name="beacon", purpose="position"), command))


def silent(until_s: float, heard_s: float | None = HEARD_S) -> Ride:
    """Return a ride whose tracker was heard last so long after the launch, some minutes on."""
    frame = laws().movers.scene.frame
    lat, lon = np.degrees([frame.lat_rad, frame.lon_rad]).tolist()
    fix = Fix(feed="tracker", lat_deg=lat, lon_deg=lon, t_s=LAUNCH_T_S + FREE_S, height_m=20_000.0)
    mark = Mark(kind=MarkKind.RELEASED)
    ride = Ride(
        kept=(fix,), newest=fix, at_s=until_s, ahead_s=LAUNCH_T_S,
        entries=(Entered(number=1, t_s=LAUNCH_T_S + FREE_S + 2.0, entry=mark),),
    )  # fmt: skip
    return ride if heard_s is None else ride.with_feed("tracker", FeedNow(heard_s=heard_s))


def test_a_feed_comes_by_the_link_of_its_name_or_the_only_one(sortie: Sortie) -> None:
    assert link_of(sortie, "command") == 1
    assert link_of(sortie, "tracker") == 0
    both = replace(sortie, links=(*sortie.links, replace(sortie.links[0], name="other")))
    assert link_of(both, "tracker") is None
    assert link_of(both, "other") == 2
    assert link_of(ensemble().sortie, "tracker") is None


def test_each_minute_of_silence_is_a_spell(sortie: Sortie) -> None:
    found = list(spells(silent(HEARD_S + 150.0), sortie, ("tracker", "second"), 1))
    assert [type(one.told) for one in found] == [LinkHeard, LinkSilent, LinkSilent]
    assert [one.t_s - LAUNCH_T_S - HEARD_S for one in found] == pytest.approx([0.0, 60.0, 120.0])
    assert {(one.told.link, one.told.stand) for one in found} == {(0, 1)}
    assert len(list(spells(silent(HEARD_S + 59.0), sortie, ("tracker",), 1))) == 1


def test_a_feed_that_was_never_heard_tells_nothing(sortie: Sortie) -> None:
    assert list(spells(silent(HEARD_S + 600.0, None), sortie, ("tracker",), 1)) == []
    assert list(spells(silent(HEARD_S + 600.0), sortie, ("tracker",), None)) == []
    assert list(spells(silent(HEARD_S + 600.0), sortie, ("second",), 1)) == []


def test_silence_tells_of_the_ground_and_of_a_dead_link(sortie: Sortie) -> None:
    # five minutes of silence 50 min after the release, from where all but the ground is in sight
    heard_s = FREE_S + 3000.0
    late, down = silent(heard_s + 310.0, heard_s), list[float]()
    for gliders in ((), ("tracker",)):
        found = followed(Follower(laws(), ("base",), sortie, 1, gliders), late)
        assert found is not None
        now = at_moment(laws(), found.particles, heard_s + 310.0)
        down.append(story_weights(now)[Story.GROUND])
    assert down[0] < 0.7
    assert down[1] > 0.9
    assert 0.1 < dead_ratios(now)[0] < 0.5  # or its sender is dead, wherever it is


def test_heard_again_a_link_lives(sortie: Sortie) -> None:
    ears = Follower(laws(), ("base",), sortie, 1, ("tracker",))
    first = silent(HEARD_S + 600.0)
    found = followed(ears, first)
    assert found is not None
    assert dead_ratios(found.particles)[0] > 0.05
    again = replace(silent(HEARD_S + 660.0, HEARD_S + 650.0), followed=found)
    after = followed(ears, again)
    assert after is not None
    assert dead_ratios(after.particles)[0] < 0.01


def test_minute_by_minute_it_comes_to_what_it_comes_to_at_once(sortie: Sortie) -> None:
    ears = Follower(laws(), ("base",), sortie, 1, ("tracker",))
    found = None
    for minutes in range(1, 8):
        found = followed(ears, replace(silent(HEARD_S + 60.0 * minutes + 1.0), followed=found))
    once = followed(ears, silent(HEARD_S + 421.0))
    assert found is not None
    assert once is not None
    assert np.array_equal(found.particles.weight, once.particles.weight)
    assert np.array_equal(found.particles.links.dead_ratio, once.particles.links.dead_ratio)
