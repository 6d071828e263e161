"""Taken as: what a loose flight is taken to be at, by its marks and by what its stories weigh."""

from collections.abc import Iterable, Mapping
from math import inf
from typing import Final, NamedTuple

from farglide.chances.after.afterwards import Loosened
from farglide.outlook.after import Stage, StoryName, StoryNow
from farglide.track.filter.particles import Particles, Story, story_weights
from farglide.track.filter.told import FLOWN

_NAMES: Final[dict[Story, StoryName]] = {
    Story.CARRIED: "carried",
    Story.FLOATING: "floating",
    Story.GLIDING: "gliding",
    Story.HANDS_OFF: "hands off",
    Story.SPIRAL: "spiral",
    Story.SPIN: "spin",
    Story.TANGLED: "falling with remains",
    Story.GROUND: "down",
}
_UNSTEERED: Final = (Story.HANDS_OFF, Story.SPIRAL, Story.SPIN)
_SURE_RATIO: Final = 0.5
"""What is likelier than not is what a flight is taken to be at."""
_STAYS_RATIO: Final = 0.4
"""And stays that until it is so much less likely, so that no stage comes and goes at its bound."""


class Said(NamedTuple):
    """What was told last, as far as what it is taken for hangs on that.

    `stage`: the stage; `glided`: it was let go and glided free, so nothing hangs on it, however
    steeply it comes down.
    """

    stage: str = ""
    glided: bool = False


def stories_of(particles: Particles) -> tuple[StoryNow, ...]:
    """Return what a flight may be at, the likeliest first."""
    told = story_weights(particles).items()  # weights that sum to 1 but for their rounding
    return tuple(StoryNow(story=_NAMES[one], chance_ratio=min(ratio, 1.0)) for one, ratio in told)


_NOTHING: Final = Said()
SETTLED_S: Final = 60.0
"""So long after it came loose a fall tells of nobody's hand: from 27 km the pull-out takes up to
45 s, one that is slower than believed looks until then as if nobody flew it, and a fall that nobody
marked is dated up to ten seconds late or early."""


def taken_for(
    loosened: Loosened,
    weights: Mapping[Story, float],
    said: Said = _NOTHING,
    free_s: float = inf,
) -> Loosened:
    """Return what a flight is taken to be at: its fall may tell another thing than its mark.

    What is worse is told as soon as it is likelier than not, and is left once it is clearly less;
    that nobody steers by the fall alone not before it has settled. `free_s`: since it came loose.
    """
    if loosened.stage is Stage.DROPPED:
        return loosened
    stage, was = loosened.stage, said.stage
    if _is_at(Stage.DOWN, (Story.GROUND,), weights, was):
        stage = Stage.DOWN
    elif not said.glided and _is_at(Stage.TIED_ON, (Story.TANGLED,), weights, was):
        stage = Stage.TIED_ON
    elif stage is Stage.TIED_ON and _ratio(FLOWN, weights) > _SURE_RATIO:
        stage = Stage.GLIDING
    alone = _UNSTEERED if said.glided else (*_UNSTEERED, Story.TANGLED)
    settled = free_s >= SETTLED_S
    if settled and stage is Stage.GLIDING and _is_at(Stage.UNSTEERED, alone, weights, was):
        stage = Stage.UNSTEERED
    return loosened._replace(stage=stage)


def _is_at(
    stage: Stage, stories: Iterable[Story], weights: Mapping[Story, float], was: str
) -> bool:
    """Tell whether stories are likely enough for a stage; `was`: the one told last."""
    bound = _STAYS_RATIO if was == stage.value else _SURE_RATIO
    return _ratio(stories, weights) > bound


def _ratio(stories: Iterable[Story], weights: Mapping[Story, float]) -> float:
    return sum(weights.get(one, 0.0) for one in stories)
