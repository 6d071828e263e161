"""Silence: what a link that is heard, or not heard, says of where a glider is, and of the link."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.radio.picture import picture_seen
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db
from farglide.track.filter.observed import Graded, LinkHeard, LinkSilent
from farglide.track.filter.particles import Laws, Particles, with_likelihood

SPELL_S: Final = 60.0
"""So long fading hangs together while a glider turns and goes on: within it silence is one witness,
however often the link was listened to. Common practice, no source."""
DEAD_RATIO: Final = 0.02
"""Chance that a link is dead before anything is heard or missed of it; a guess, no source."""
LIFE_S: Final = 6.0 * 3600.0
"""A sender or a receiver lasts so long in the mean; a guess, no source."""
STEADY_RATIO: Final = 0.5
"""So much of the variance of a link's budget is off for the whole flight, the rest fades; a guess:
gains and losses stay, the angle it hangs at does not."""
WRONG_RATIO: Final = 0.02
"""A link is so often heard where it should not be, or a grade told that is not; common practice."""
_HALF: Final = math.sqrt(0.5)
_EDGE_DB: Final = 200.0


def after_link(laws: Laws, particles: Particles, told: LinkHeard | LinkSilent) -> Particles:
    """Return the particles after a link was heard, or was not for a spell.

    Each particle holds its own chance that the link is dead, so silence is never worth nothing: it
    is as likely as that. Heard, it lives. Source: Bayes' rule, for each particle.
    """
    heard = isinstance(told, LinkHeard)
    alive = _heard_ratio(laws, particles, told.link, told.stand)
    return _weighed(particles, told.link, alive if heard else 1.0 - alive, not heard)


def after_grade(laws: Laws, particles: Particles, graded: Graded) -> Particles:
    """Return the particles after the picture got a grade; 0 is silence of its link."""
    if laws.hearing is None or laws.hearing.picture is None:
        return particles
    k = laws.hearing.picture
    margin, sd_db = _margin_db(laws, particles, k, graded.stand)
    missing = picture_seen(_EDGE_DB, graded.grade, laws.hearing.is_digital)
    low, high = _EDGE_DB - missing.most_db, _EDGE_DB - missing.least_db
    high = math.inf if high >= _EDGE_DB else high
    alive = _below(high - margin, sd_db) - _below(low - margin, sd_db)
    alive = WRONG_RATIO / 6.0 + (1.0 - WRONG_RATIO) * alive
    return _weighed(particles, k, alive, graded.grade == 0)


def with_age(particles: Particles, seconds: float) -> Particles:
    """Return the particles after a time in which links may have died."""
    links = particles.links
    if not links.dead_ratio.size or seconds <= 0.0:
        return particles
    dead = 1.0 - (1.0 - links.dead_ratio) * math.exp(-seconds / LIFE_S)
    return particles._replace(links=links._replace(dead_ratio=dead))


def _weighed(particles: Particles, k: int, alive: FloatArray, can_be_dead: bool) -> Particles:
    """Return the particles weighed by what is seen of a link; `alive`: its chance if it lives."""
    links, now_s = particles.links, particles.after_launch_s
    dead = links.dead_ratio[:, k]
    whole = (1.0 - dead) * alive + (dead if can_be_dead else 0.0)
    ratio = links.dead_ratio.copy()
    ratio[:, k] = dead / whole if can_be_dead else 0.0
    counted_s = links.counted_s.copy()
    if now_s < counted_s[k] + SPELL_S:
        ratio[:, k] = dead if can_be_dead else 0.0
        return particles._replace(links=links._replace(dead_ratio=ratio))
    counted_s[k] = now_s
    after = particles._replace(links=links._replace(dead_ratio=ratio, counted_s=counted_s))
    return with_likelihood(after, np.log(whole))


def _heard_ratio(laws: Laws, particles: Particles, k: int, stand: int) -> FloatArray:
    """Return the chance that a link that lives is heard from each particle's place."""
    margin, sd_db = _margin_db(laws, particles, k, stand)
    return WRONG_RATIO + (1.0 - 2.0 * WRONG_RATIO) * _below(margin, sd_db)


def _margin_db(laws: Laws, particles: Particles, k: int, stand: int) -> tuple[FloatArray, float]:
    """Return each particle's margin, its own budget in it, and how far that fades."""
    if laws.hearing is None:
        raise InputError("link", k, "none", "No link is stated: nothing can be heard.")
    cloud, sd_db = particles.cloud, float(laws.hearing.listeners.waves.sd_db[k])
    places = Trails(cloud.amsl_m[:, None], cloud.north_rad[:, None], cloud.east_rad[:, None])
    found = margins_db(laws.hearing.listeners, laws.movers.scene.frame, places)
    steady = math.sqrt(STEADY_RATIO) * sd_db * particles.links.budget_normal[:, k]
    fades_db = max(math.sqrt(1.0 - STEADY_RATIO) * sd_db, 0.1)
    return np.asarray(found[:, stand, k, 0] + steady, np.float64), fades_db


def _below(over_db: FloatArray, sd_db: float) -> FloatArray:
    """Return the chance that a normal number of this deviation is below, (n,)."""
    return np.array([0.5 * math.erfc(-one / sd_db * _HALF) for one in over_db.tolist()])
