"""Where to look, lost now: by what the ride takes it for, from where it is."""

import pytest
from tests.live.loose import RELEASE_S, Told

from farglide.chances.falls import HANDS_OFF, SPIN, TANGLED
from farglide.live.loosened.down import search_after, search_weights
from farglide.live.loosened.flight import LooseFlight
from farglide.outlook.after import StoryNow
from farglide.search.stories import STRAIGHT
from farglide.track.typed.entries import MarkKind

from .conftest import Asks


def test_stories_of_the_ride_weigh_those_of_the_search() -> None:
    told = (
        StoryNow(story="hands off", chance_ratio=0.6),
        StoryNow(story="gliding", chance_ratio=0.4),
    )
    found = search_weights(told)
    assert sum(found.values()) == pytest.approx(1.0)
    # 0.35 of 0.90 usual ones without remains are straight on, 0.05 a spin
    assert found[STRAIGHT] == pytest.approx(0.4 * 0.35 / 0.9)
    assert found[SPIN] == pytest.approx(0.4 * 0.05 / 0.9)
    assert found[HANDS_OFF] == pytest.approx(0.6 + 0.4 * 0.35 / 0.9)
    assert found[TANGLED] == 0.0


def test_what_is_tied_on_falls_with_its_remains(tied: LooseFlight) -> None:
    found = search_after(tied)
    assert [one.name for one in found.stories] == [TANGLED]
    assert found.stories[0].chance_ratio == pytest.approx(1.0)


def test_lower_down_there_is_less_to_look_at(asks: Asks, home: Told, gliding: LooseFlight) -> None:
    # 1.4 km up, a sixteenth of the height: by 60 draws 0.09 to 0.12 of the circle, seed by seed
    low = asks(home, home.path.end_s - 150.0, (RELEASE_S, MarkKind.RELEASED))
    high, near = search_after(gliding), search_after(low)
    assert near.datum.radius_90_m < 0.15 * high.datum.radius_90_m
    assert near.segments


def test_on_the_ground_it_lies_where_it_is(asks: Asks, home: Told) -> None:
    down = asks(home, home.path.end_s + 30.0, (RELEASE_S, MarkKind.RELEASED))
    found = search_after(down)
    assert found.datum.radius_90_m < 3000.0
