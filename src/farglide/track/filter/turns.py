"""Turns: a free glider that becomes another story on its way: in a spiral, or steered."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.sim.fly.particles import GLIDING, HANDS_OFF, SPIN, SPIRAL, TANGLED, Cloud
from farglide.track.filter.begun import as_story
from farglide.track.filter.chosen import systematic
from farglide.track.filter.particles import Links, Particles, story_shares

TURN_S: Final = 3600.0
"""So long a glider stays the story that it is, in the mean; a guess, no source."""
_FREE: Final = (GLIDING, HANDS_OFF, SPIRAL, SPIN, TANGLED)
_FEW_RATIO: Final = 0.01
"""Particles of a story as unlikely as this are where it is not: they begin from the likely ones."""


def with_turns(particles: Particles, seconds: float) -> Particles:
    """Return the particles after a time in which a free glider may have become another story.

    So none of its stories ever dies out, as long as it is possible: what flew home for ten minutes
    may be in a spiral now, from where it was, and what was taken for one may be tangled after all.
    """
    codes = np.array([one for one in _FREE if particles.possible[one]])
    held = story_shares(particles)
    total = float(held[codes].sum()) if len(codes) else 0.0
    if len(codes) < 2 or seconds <= 0.0 or not total > 0.0:
        return particles
    even, kept = total / len(codes), _kept_ratio(seconds, len(codes))
    wanted = even + kept * (held[codes] - even)
    for code in codes[held[codes] < _FEW_RATIO * total]:
        particles = _from_likely(particles, int(code), codes)
    return _shared(particles, codes, wanted)


def _kept_ratio(seconds: float, n_stories: int) -> float:
    """Return what is left of a story's lead over the others, in one step or in many.

    Source: the chain of states that each leave at the rate 1 / `TURN_S` for all others alike.
    """
    return math.exp(-seconds / TURN_S * n_stories / (n_stories - 1))


def _from_likely(particles: Particles, code: int, codes: IntArray) -> Particles:
    """Return the particles of a story begun from where free gliders are likely to be."""
    cloud, links = particles.cloud, particles.links
    own = np.flatnonzero(cloud.story == code)
    free = np.flatnonzero(np.isin(cloud.story, codes[codes != code]))
    if not len(own) or not particles.weight[free].sum() > 0.0:
        return particles
    rows = np.arange(len(particles.weight))
    rows[own] = free[systematic(particles.weight[free], len(own), 0.5)]
    taken = Cloud._make(one[rows] for one in cloud)
    drop_s = taken.drop_s.copy()
    if code == TANGLED:
        drop_s[own] = 0.0
    after = as_story(taken._replace(drop_s=drop_s), own, np.full(len(own), code))
    kept = Links(links.dead_ratio[rows], links.budget_normal[rows], links.counted_s)
    weight = particles.weight.copy()
    weight[own] = 1e-300
    return particles._replace(cloud=after, links=kept, weight=weight)


def _shared(particles: Particles, codes: IntArray, wanted: FloatArray) -> Particles:
    """Return the particles with each of some stories as likely as wanted."""
    story, weight = particles.cloud.story, particles.weight.copy()
    for code, share in zip(codes, wanted, strict=True):
        own = story == code
        held = float(weight[own].sum())
        if held > 0.0:
            weight[own] *= share / held
    return particles._replace(weight=weight / weight.sum())
