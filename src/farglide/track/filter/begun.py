"""Begun: particles from the last place before a release or a burst, by what was marked."""

from collections.abc import Collection, Mapping
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.errors import InputError
from farglide.sim.core.draws import normals
from farglide.sim.core.step import _metres_per_rad
from farglide.sim.core.tracks import Point
from farglide.sim.fly.particles import (
    N_STORIES,
    SETTLED_MPS,
    Cloud,
)
from farglide.track.filter.chosen import shared_out
from farglide.track.filter.fresh import (
    FREE,
    GOLDEN,
    drops_of,
    even_draws,
    evenly,
    fresh_cloud,
    goals_for,
)
from farglide.track.filter.particles import Laws, Links, Particles, Story
from farglide.track.filter.silence import DEAD_RATIO

N_PARTICLES: Final = 500
_SHRUNK_RATIO: Final = 0.87
"""Of places that draws alone tell so much lies between particles, a half in each: a choice."""
_OWN_SEED: Final = 3_000_017
_FIRST_RATIO: Final = 0.12
"""Each story begins with this share of the particles: of twenty falls of remains none may sink as
the one that is, and the story be gone after ten seconds of fixes."""


class Last(NamedTuple):
    """Where it was last, in radians from the launch, and how sure that is, one deviation.

    `late_s`: so much later, at the most, it was let go; `by_draw` (n_draws, 3): height and offsets
    of each draw, where no fix tells: the place is then as sure as these say, and the errors come to
    it.
    """

    after_launch_s: float
    amsl_m: float
    north_rad: float
    east_rad: float
    sd_m: float = 10.0
    amsl_sd_m: float = 15.0
    late_s: float = 0.0
    by_draw: FloatArray | None = None


def after_release(failed_ratio: float = 0.02) -> dict[Story, float]:
    """Return weights before anything is seen of a glider whose release was marked.

    `failed_ratio`: chance that it is still tied on, whole or in a fall. The rest: a guess, no
    source.
    """
    free = 1.0 - failed_ratio
    return {
        Story.GLIDING: 0.85 * free,
        Story.HANDS_OFF: 0.10 * free,
        Story.SPIRAL: 0.04 * free,
        Story.SPIN: 0.01 * free,
        Story.CARRIED: 0.5 * failed_ratio,
        Story.TANGLED: 0.5 * failed_ratio,
    }


def after_end() -> dict[Story, float]:
    """Return weights of a glider that was steered until its packs ended: those of a loss, alone."""
    return {one: w for one, w in after_loss().items() if one is not Story.GLIDING}


def after_burst() -> dict[Story, float]:
    """Return weights after a burst was marked while the glider was tied on."""
    return {Story.TANGLED: 1.0}


def after_loss() -> dict[Story, float]:
    """Return weights of a glider whose picture was lost while it flew: a guess, no source.

    Half goes on as steered, by command or trim; of the rest a gentle circle is likelier.
    """
    return {Story.GLIDING: 0.5, Story.HANDS_OFF: 0.35, Story.SPIRAL: 0.11, Story.SPIN: 0.04}


def whatever_sinks() -> dict[Story, float]:
    """Return weights of what sinks without a mark: a guess, no source."""
    return {
        Story.TANGLED: 0.4, Story.GLIDING: 0.25, Story.CARRIED: 0.15, Story.HANDS_OFF: 0.12,
        Story.SPIRAL: 0.04, Story.SPIN: 0.01, Story.FLOATING: 0.03,
    }  # fmt: skip


def begun(
    laws: Laws,
    last: Last,
    stories: Mapping[Story, float],
    aimed: int | None = None,
    n: int = N_PARTICLES,
) -> Particles:
    """Return particles of some stories from one place, spread evenly over draws and stories.

    `stories`: their weights, any sum; those above 0 are possible from now on. `aimed`: the field
    that the crew makes for, None where it is not known. What glides has just been let go, what is
    tangled has fallen from rest for some seconds: marks come late. The same seed gives the same
    particles. Raises InputError.
    """
    held = _checked(stories)
    counts = shared_out(held, held > 0.0, n, _FIRST_RATIO)
    story = np.repeat(np.arange(N_STORIES), counts)
    weight = (held / np.maximum(counts, 1))[story]
    draw = np.concatenate([even_draws(int(one), laws.n_draws) for one in counts])
    own = normals(n, 2 + _n_links(laws), laws.seed + _OWN_SEED)
    goal = goals_for(laws, aimed, n, own[:, 0])
    cloud = fresh_cloud(laws, Point(*map(float, last[:4])), story, draw, goal)
    cloud = cloud if last.by_draw is None else _apart(laws, cloud, last.by_draw)
    cloud.drop_s[cloud.drop_s > 0.0] += (last.late_s * evenly(n))[cloud.drop_s > 0.0]
    cloud.spread[:, 0, 0] += last.sd_m**2
    cloud.spread[:, 1, 0] += last.amsl_sd_m**2
    links = Links(
        np.full((n, _n_links(laws)), DEAD_RATIO),
        np.ascontiguousarray(own[:, 2:]),
        np.full(_n_links(laws), -np.inf),
    )
    held_s = last.after_launch_s
    return Particles(held_s, cloud, weight / weight.sum(), links, held > 0.0, 0, held_s)


def _apart(laws: Laws, cloud: Cloud, by_draw: FloatArray) -> Cloud:
    """Return particles where their draws are, each as unsure of it as a part of all of them are.

    So a place that is seen moves each one, a direction chooses among them, and all of them together
    are as far apart as the draws. Source: kernels shrunk towards the mean, West, J. R. Stat. Soc. B
    55 (1993), 409, from memory.
    """
    middle, frame = by_draw.mean(axis=0), laws.movers.scene.frame
    each = middle + _SHRUNK_RATIO * (by_draw - middle)
    kept = np.sqrt(1.0 - _SHRUNK_RATIO**2) * by_draw.std(axis=0)
    per_rad = _metres_per_rad(frame, float(middle[1]))
    spread = cloud.spread.copy()
    spread[:, 0, 0] = 0.5 * float(((kept[1:] * np.array(per_rad)) ** 2).sum())
    spread[:, 1, 0] = kept[0] ** 2
    amsl_m, north, east = (np.ascontiguousarray(one) for one in each[cloud.draw].T)
    return cloud._replace(amsl_m=amsl_m, north_rad=north, east_rad=east, spread=spread)


def turned(
    particles: Particles, stories: Mapping[Story, float], of: Collection[Story] = (Story.GLIDING,)
) -> Particles:
    """Return particles of some stories told by a mark to be others now, where they are.

    A share of those `of`, by the weights, becomes each of `stories`; all others stay. So a picture
    that was lost makes some gliders fly on by themselves, and a release after a burst frees one.
    What changes so has gathered its speed. Raises InputError.
    """
    held = _checked(stories)
    own = np.flatnonzero(np.isin(particles.cloud.story, [one.code for one in of]))
    if not len(own):
        return particles
    cloud, weight = particles.cloud, particles.weight.copy()
    counts = shared_out(held, held > 0.0, len(own))
    order = np.argsort(np.arange(len(own)) * GOLDEN % 1.0, kind="stable")
    code = np.empty(len(own), np.int64)
    code[order] = np.repeat(np.arange(N_STORIES), counts)
    total = float(weight[own].sum())
    weight[own] *= (held / np.maximum(counts, 1))[code]
    if total > 0.0:
        weight[own] *= total / float(weight[own].sum())
    after = as_story(cloud, own, code)
    possible = particles.possible | (held > 0.0)
    return particles._replace(cloud=after, weight=weight, possible=possible)


def unsteered(particles: Particles) -> Particles:
    """Return particles of a glider whose packs are empty: none is steered from now on."""
    after = turned(particles, after_end())
    possible = after.possible.copy()
    possible[Story.GLIDING.code] = False
    return after._replace(possible=possible)


def let_go(laws: Laws, particles: Particles, before: Particles) -> Particles:
    """Return particles of which those that were tied on `before` and are free now drop first.

    As the plan has it, from rest: what fell with them held them up.
    """
    cloud = particles.cloud
    rows = np.flatnonzero((before.cloud.story == Story.TANGLED.code) & np.isin(cloud.story, FREE))
    if not len(rows):
        return particles
    middle = (float(one[rows].mean()) for one in (cloud.amsl_m, cloud.north_rad, cloud.east_rad))
    at = Point(particles.after_launch_s, *middle)
    drop, drop_s = cloud.drop.copy(), cloud.drop_s.copy()
    drop[rows] = drops_of(laws, at, cloud.draw[rows], cloud.story[rows])
    drop_s[rows] = drop[rows, 0] + drop[rows, 2]
    return particles._replace(cloud=cloud._replace(drop=drop, drop_s=drop_s))


def as_story(cloud: Cloud, rows: IntArray, code: IntArray) -> Cloud:
    """Return particles of which some are another story now, in the air and settled."""
    story, speed, factor = cloud.story.copy(), cloud.speed_mps.copy(), cloud.factor.copy()
    factor[rows] = np.where(code == story[rows], factor[rows], 1.0)
    story[rows], speed[rows] = code, SETTLED_MPS
    return cloud._replace(story=story, speed_mps=speed, factor=factor)


def _checked(stories: Mapping[Story, float]) -> FloatArray:
    held = np.zeros(N_STORIES)
    for story, weight in stories.items():
        if not 0.0 <= weight < np.inf:
            raise InputError(f"weight of {story.value}", weight, "0 or more, finite")
        held[story.code] = weight
    if not held.sum() > 0.0:
        raise InputError("stories", "all 0", "one weight above 0", "Say what it may be.")
    return np.asarray(held / held.sum())


def _n_links(laws: Laws) -> int:
    return 0 if laws.hearing is None else len(laws.hearing.listeners.waves.near_db)
