"""Chosen: particles taken anew where few carry the weight, some of each story that may be."""

from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray, IntArray
from farglide.errors import InputError
from farglide.sim.fly.particles import GROUND, N_STORIES, Cloud
from farglide.track.filter.particles import Laws, Links, Particles, story_shares
from farglide.track.filter.varied import STRAINED, strain, varied

LEAST_RATIO: Final = 0.04
"""Each story that is possible keeps this share of the particles, whatever its weight."""
FEW_RATIO: Final = 0.5
"""Particles are chosen anew when so few of a story's, counted by weight, carry it."""
_SHORT_RATIO: Final = 0.4
"""A story that has so few of the particles that its weight is worth gets more."""


def systematic(weight: FloatArray, n: int, share: float) -> IntArray:
    """Return which particles are taken, (n,): of each within one of n times its weight.

    `share`: from 0 to 1, by chance. Weights need not sum to 1. Raises InputError.
    Source: systematic resampling, Kitagawa, J. Comp. Graph. Stat. 5 (1996), 1, from memory.
    """
    total = float(weight.sum())
    if not total > 0.0 or not 0.0 <= share <= 1.0:
        given = f"sum {total:g}, share {share:g}"
        raise InputError("weight", given, "weights above 0 and a share from 0 to 1")
    ends = np.cumsum(weight) * (n / total)
    found = np.searchsorted(ends, np.arange(n) + share, side="right")
    return np.minimum(found, len(weight) - 1).astype(np.int64)


def effective_ratio(weight: FloatArray) -> float:
    """Return how many particles of equal weight would tell as much, over how many there are."""
    total = float(weight.sum())
    return total * total / (len(weight) * float(weight @ weight)) if total > 0.0 else 1.0


def chosen(laws: Laws, particles: Particles, number: int) -> Particles:
    """Return the particles, chosen anew if few of a story carry its weight, or few are of it."""
    held = story_shares(particles)
    if not _is_poor(laws, particles, held):
        return particles
    n, story = len(particles.weight), particles.cloud.story
    key = np.array([laws.seed, number], dtype=np.uint64)
    chance = np.random.Generator(np.random.Philox(key=key))
    counts = shared_out(held, particles.possible & (held > 0.0), n)
    rows, weight = [], []
    for code in np.flatnonzero(counts):
        own = np.flatnonzero(story == code)
        taken = systematic(particles.weight[own], int(counts[code]), float(chance.random()))
        rows.append(own[taken])
        weight.append(np.full(counts[code], held[code] / counts[code]))
    at, new = np.concatenate(rows), np.concatenate(weight)
    again = is_again(at)
    cloud = varied(
        laws, Cloud._make(one.take(at, axis=0) for one in particles.cloud), again, chance
    )
    links = particles.links
    kept = Links(links.dead_ratio[at], links.budget_normal[at], links.counted_s)
    return particles._replace(cloud=cloud, weight=new / new.sum(), links=kept)


def shared_out(
    held: FloatArray, possible: BoolArray, n: int, least_ratio: float = LEAST_RATIO
) -> IntArray:
    """Return how many of n particles each story gets: by weight, and `least_ratio` at least.

    `possible`: tells which have any particle to take and may be; the others get what their weight
    is worth.
    """
    least = np.where(possible, max(int(least_ratio * n), 1), 0)
    left = n - int(least.sum())
    over = np.maximum(held / held.sum() * n - least, 0.0)
    wanted = over * (left / max(float(over.sum()), 1e-300))
    counts = least + np.floor(wanted).astype(np.int64)
    rest = np.argsort(-(wanted - np.floor(wanted)), kind="stable")
    counts[rest[: n - int(counts.sum())]] += 1
    return np.asarray(counts, np.int64)


def is_again(taken: IntArray) -> BoolArray:
    """Tell which of the particles taken was taken before, (n,)."""
    order = np.arange(len(taken))
    first = np.zeros(int(taken.max(initial=0)) + 1, np.int64)
    first[taken[::-1]] = order[::-1]  # of several the last that is put there stays: the first taken
    return np.asarray(first[taken] != order)


def _is_poor(laws: Laws, particles: Particles, held: FloatArray) -> bool:
    """Tell whether few particles of a story that counts carry its weight, or few are of it.

    Or whether their speeds are farther off their laws than any law is: then the laws are wrong.
    """
    story, n = particles.cloud.story, len(particles.weight)
    n_each = np.bincount(story, minlength=N_STORIES)
    square = np.bincount(story, particles.weight**2, N_STORIES)
    counts = held > LEAST_RATIO
    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = held**2 / (n_each * square)
    is_short = n_each < _SHORT_RATIO * n * held
    if (counts & ((ratio < FEW_RATIO) | is_short)).any():
        return True
    return _is_strained(laws, particles)


def _is_strained(laws: Laws, particles: Particles) -> bool:
    up_mps, weight = particles.cloud.off_mps[:, 2], particles.weight
    least_mps = laws.movers.noise.up_mps[:GROUND].min()
    if float(weight @ up_mps**2) <= STRAINED * least_mps**2:
        return False  # whatever the story: asked at each step, so the cheap question first
    return float(weight @ strain(laws, particles.cloud)) > STRAINED
