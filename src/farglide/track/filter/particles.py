"""Particles: what a glider may be now, as weighted stories, and which of its links may be dead."""

from enum import StrEnum
from typing import NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.sim.core.release import Releases
from farglide.sim.fly.particles import GROUND, N_STORIES, Cloud, Movers
from farglide.sim.hear.ears import Listeners


class Story(StrEnum):
    """What it may be, in the order of the codes of `sim.fly.particles`."""

    CARRIED = "attached"
    FLOATING = "floating"
    GLIDING = "gliding"
    HANDS_OFF = "hands-off"
    SPIRAL = "in a spiral"
    SPIN = "in a spin"
    TANGLED = "falling with remains"
    GROUND = "on the ground"

    @property
    def code(self) -> int:
        """Return its code in a cloud.

        >>> Story.GLIDING.code, Story.GROUND.code
        (2, 7)
        """
        return list(Story).index(self)


class Hearing(NamedTuple):
    """Who listens to which links, and what the picture's link is."""

    listeners: Listeners
    picture: int | None  # which link carries the picture
    is_digital: bool


class Laws(NamedTuple):
    """By what the stories of one flight move and are heard; nothing in it changes by a step.

    `seed`: of all random numbers, with the number of the record; `launch_t_s`: UTC.
    """

    movers: Movers
    releases: Releases
    hearing: Hearing | None
    launch_t_s: float
    seed: int

    @property
    def n_draws(self) -> int:
        """Return how many draws there are to belong to."""
        return len(self.movers.glide_factor)


class Links(NamedTuple):
    """What each particle has come to hold of each link.

    `dead_ratio` (n, n_links): chance that its sender or receiver is dead, if the particle is right;
    `budget_normal` (n, n_links): how far the link's budget is off for the whole flight, in standard
    deviations; `counted_s` (n_links,): until when its silence has been counted.
    """

    dead_ratio: FloatArray
    budget_normal: FloatArray
    counted_s: FloatArray


class Particles(NamedTuple):
    """What it may be at one moment: particles of stories, their weights summing to 1.

    `possible` (N_STORIES,): the stories that keep some particles whatever their weight;
    `n_missed`: how many fixes in a row fitted nowhere.
    """

    after_launch_s: float
    cloud: Cloud
    weight: FloatArray
    links: Links
    possible: BoolArray
    n_missed: int
    placed_s: float  # after the launch, of the last fix that fitted


def story_shares(particles: Particles) -> FloatArray:
    """Return the weight of each story by its code, (N_STORIES,)."""
    return _shares(particles, particles.cloud.story)


def story_weights(particles: Particles) -> dict[Story, float]:
    """Return the weight of each story, most of all first; stories without any left out."""
    return _named(story_shares(particles))


def fallen_weights(particles: Particles) -> dict[Story, float]:
    """Return the same, what is on the ground counted as the story by which it came down."""
    cloud = particles.cloud
    story = np.where(cloud.story == GROUND, cloud.was, cloud.story)
    return _named(_shares(particles, story))


def dead_ratios(particles: Particles) -> FloatArray:
    """Return the chance that each link's sender or receiver is dead, (n_links,)."""
    return np.asarray(particles.weight @ particles.links.dead_ratio)


def with_likelihood(particles: Particles, log_likelihood: FloatArray) -> Particles:
    """Return the particles weighed by how well each fits, (n,), in natural logarithms."""
    with np.errstate(divide="ignore"):
        logs = np.log(particles.weight) + log_likelihood
    weight = np.exp(logs - logs.max())
    return particles._replace(weight=weight / weight.sum())


def _shares(particles: Particles, story: IntArray) -> FloatArray:
    return np.asarray(np.bincount(story, particles.weight, N_STORIES), np.float64)


def _named(shares: FloatArray) -> dict[Story, float]:
    order = np.argsort(-shares, kind="stable")
    return {list(Story)[k]: float(shares[k]) for k in order if shares[k] > 0.0}
