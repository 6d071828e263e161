"""Ridden: the stories of a ride as a search weighs them, when nothing is heard any more."""

from collections.abc import Mapping
from typing import Final

from farglide.chances.falls import HANDS_OFF, SPIN, SPIRAL, TANGLED
from farglide.search.stories import STRAIGHT
from farglide.track.filter.particles import Particles, Story, fallen_weights

_NAMES: Final[Mapping[Story, str]] = {
    Story.GLIDING: STRAIGHT, Story.HANDS_OFF: HANDS_OFF, Story.SPIRAL: SPIRAL,
    Story.SPIN: SPIN,
    Story.TANGLED: TANGLED, Story.CARRIED: TANGLED, Story.FLOATING: TANGLED,
}  # fmt: skip


def weights_from(particles: Particles) -> dict[str, float]:
    """Return the weights of a search's stories by what the ride took it to be, in the air.

    What still hung on its balloon comes down tied to its remains. What was steered flies straight
    on. Their sum is 1.
    """
    found = dict.fromkeys(_NAMES.values(), 0.0)
    for story, weight in fallen_weights(particles).items():
        found[_NAMES[story]] += weight
    return found
