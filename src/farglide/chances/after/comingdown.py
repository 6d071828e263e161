"""Coming down: where it lands as each story has it, if nobody does anything from now on."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.chances.after.afterwards import Loosened, tied_sinks
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import Fall, falls_of, glider_falls, tangled
from farglide.earth.state import place_deg
from farglide.fall import StoryKind
from farglide.outlook.after import ComesDown, StoryName, StoryNow
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.descend import descend

_KINDS: Final[dict[StoryKind, StoryName]] = {
    StoryKind.CIRCLE: "hands off",
    StoryKind.SPIRAL: "spiral",
    StoryKind.SPIN: "spin",
    StoryKind.REMAINS: "falling with remains",
}


LEAST_RATIO: Final = 0.02
"""What is less likely is not worth a word; common practice, no source."""


class _Down(NamedTuple):
    """One fall, and what it is called."""

    story: StoryName
    fall: Fall


def comes_down(
    ensemble: Ensemble, loosened: Loosened, now: States, stories: Sequence[StoryNow]
) -> tuple[ComesDown, ...]:
    """Return where it comes down by story, the likeliest first; stories without weight left out.

    `now`: of one moment. Nothing is told of a fall that the crew has not measured.
    """
    found = (_told(ensemble, now, one, stories) for one in _falls(ensemble, loosened))
    told = [one for one in found if one is not None]
    return tuple(sorted(told, key=lambda one: -one.chance_ratio))


def _falls(ensemble: Ensemble, loosened: Loosened) -> Iterator[_Down]:
    for fall in (*glider_falls(ensemble), tangled(ensemble)):
        story = _KINDS.get(fall.story.kind)
        if story == "falling with remains":
            fall = fall._replace(sinks=tied_sinks(ensemble, loosened))
        if story is not None:
            yield _Down(story, fall)


def _told(
    ensemble: Ensemble, now: States, down: _Down, stories: Sequence[StoryNow]
) -> ComesDown | None:
    weight = min(sum(one.chance_ratio for one in stories if one.story == down.story), 1.0)
    if weight < LEAST_RATIO:
        return None
    starts = np.concatenate([one[:, :1] for one in now[1:5]], axis=1)
    falls = falls_of(ensemble, down.fall, starts)
    scene = ensemble.air.scene
    ends = descend(scene, ensemble.draws.swarm, falls, ensemble.workers)
    ends = ends[np.isfinite(ends[:, 0])]
    if not len(ends):
        return None
    middle = Offset(float(np.median(ends[:, 2])), float(np.median(ends[:, 3])))
    begun = Offset(float(np.median(starts[:, 2])), float(np.median(starts[:, 3])))
    away_m = [
        np.hypot(*apart_m(scene.frame, middle, Offset(north, east)))
        for north, east in ends[:, 2:].tolist()
    ]
    lat_deg, lon_deg = place_deg(ensemble.sortie.launch, *middle)
    return ComesDown(
        story=down.story,
        chance_ratio=weight,
        down_after_launch_s=float(np.median(ends[:, 0])),
        drift_m=float(np.hypot(*apart_m(scene.frame, begun, middle))),
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        most_within_m=float(np.quantile(away_m, 0.9)),
    )
