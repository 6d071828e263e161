"""Coming down: where it lands as each story has it."""

import pytest

from farglide.chances.after.afterwards import Loosened, states_now
from farglide.chances.after.comingdown import comes_down
from farglide.chances.case import Case
from farglide.chances.onward import Seen
from farglide.outlook.after import Stage, StoryNow

from .test_afterwards import seen_at

STORIES = (
    StoryNow(story="hands off", chance_ratio=0.6),
    StoryNow(story="spiral", chance_ratio=0.3),
    StoryNow(story="gliding", chance_ratio=0.1),
)


@pytest.fixture(scope="module")
def at_26(demo_case: Case) -> Seen:
    return seen_at(demo_case.drawn, 74 * 60.0)


def test_from_26_km_it_drifts_as_far_as_each_story_has_it(demo_case: Case, at_26: Seen) -> None:
    # Independent figures from 26 km to the ground: 131 km in 154 min hands off, 41 km in 48 min in
    # a firm spiral; here with the doubts of the draws around them.
    drawn = demo_case.drawn
    assert at_26.amsl_m == pytest.approx(26_000.0, rel=0.03)
    loosened = Loosened(Stage.UNSTEERED, at_26, at_26)
    found = comes_down(drawn, loosened, states_now(drawn, loosened, 74 * 60.0), STORIES)
    assert [one.story for one in found] == ["hands off", "spiral"]
    gentle, firm = found
    assert gentle.drift_m == pytest.approx(131e3, rel=0.1)
    assert gentle.down_after_launch_s / 60.0 - 74.0 == pytest.approx(154.0, rel=0.1)
    assert firm.drift_m == pytest.approx(41e3, rel=0.1)
    assert firm.down_after_launch_s / 60.0 - 74.0 == pytest.approx(48.0, rel=0.1)
    assert gentle.most_within_m > firm.most_within_m > 1000.0
    assert gentle.chance_ratio == 0.6


def test_a_story_without_weight_is_not_told(demo_case: Case, at_26: Seen) -> None:
    drawn = demo_case.drawn
    loosened = Loosened(Stage.TIED_ON, at_26, at_26, sink_mps=40.0)
    now = states_now(drawn, loosened, 74 * 60.0)
    tied = (StoryNow(story="falling with remains", chance_ratio=1.0),)
    assert [one.story for one in comes_down(drawn, loosened, now, tied)] == ["falling with remains"]
    assert comes_down(drawn, loosened, now, STORIES[2:]) == ()
