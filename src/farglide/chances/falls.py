"""Falls: what may come down by itself, and how fast in each draw, as far as it was measured."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.ahead import remains_shares, remains_story_of, sinks_of
from farglide.chances.ensemble import Ensemble
from farglide.fall import Story, StoryKind, remains_story
from farglide.sim.fly.descend import Falls, Sinks

FREED: Final = "freed balloon and line, after its own burst"
TANGLED: Final = "after a burst, all still tied together"
HANDS_OFF: Final = "glider, hands off"
SPIRAL: Final = "glider in a firm spiral"
SPIN: Final = "glider in a spin"


class Fall(NamedTuple):
    """What comes down by itself, and by how much each draw sinks faster or slower."""

    what: str
    story: Story
    share: FloatArray
    sinks: Sinks  # of each draw


def glider_falls(ensemble: Ensemble) -> list[Fall]:
    """Return how the glider comes down unsteered, as far as the crew has measured it."""
    glider, found = ensemble.sortie.glider, []
    for what, kind, known in (
        (HANDS_OFF, StoryKind.CIRCLE, glider.hands_off_sink_eas_mps),
        (SPIRAL, StoryKind.SPIRAL, glider.spiral_sink_eas_mps),
        (SPIN, StoryKind.SPIN, glider.spin_sink_eas_mps),
    ):
        if known is not None:
            share = np.exp(known.spread_ratio * ensemble.draws.story_normal[:, 0])
            story = Story(kind=kind, sink_eas_mps=known.value)
            found.append(fall_of(ensemble, what, story, share))
    return found


def fall_of(ensemble: Ensemble, what: str, story: Story, share: FloatArray) -> Fall:
    """Return a fall by its story, and by how much each draw sinks faster, (n_draws,)."""
    return Fall(what, story, share, sinks_of(ensemble, story, share))


def tangled(ensemble: Ensemble) -> Fall:
    """Return the fall of all together after a burst."""
    return fall_of(ensemble, TANGLED, remains_story_of(ensemble), remains_shares(ensemble))


def freed_fall(ensemble: Ensemble) -> Fall:
    """Return the fall of the burst balloon and its line, the glider released."""
    sortie = ensemble.sortie
    mass_kg = sortie.balloon.mass_kg + sortie.train.line_kg
    story = remains_story(mass_kg, sortie.train.remains_drag_area_m2.value)
    return fall_of(ensemble, FREED, story, remains_shares(ensemble))


def falls_of(ensemble: Ensemble, fall: Fall, starts: FloatArray) -> Falls:
    """Return a fall as the kernels take it, down to where what nobody steers counts as down."""
    sortie = ensemble.sortie
    ground = sortie.fields[0] if sortie.fields else sortie.launch
    return Falls(starts, fall.sinks, ground.amsl_m)
