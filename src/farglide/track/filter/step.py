"""Step: particles and one observation in, particles out: the whole filter as a pure function."""

from typing import Final, NamedTuple

from farglide.errors import InputError
from farglide.sim.fly.stories import moved
from farglide.track.filter.chosen import chosen, effective_ratio
from farglide.track.filter.downways import with_down_ways
from farglide.track.filter.fixes import at_fix
from farglide.track.filter.observed import (
    Aimed,
    EdgeSeen,
    Graded,
    High,
    LinkHeard,
    LinkSilent,
    Observed,
    Placed,
    SunSeen,
    What,
)
from farglide.track.filter.particles import Laws, Particles
from farglide.track.filter.sights import after_bearing, after_edge, after_sun
from farglide.track.filter.silence import after_grade, after_link, with_age
from farglide.track.filter.turns import with_turns

LATE_S: Final = 0.5
"""What was observed so much before the particles' moment counts as of it; older is refused."""


class Info(NamedTuple):
    """What a step did: how even weights were before they were shared out anew, and if they were."""

    effective_ratio: float
    is_chosen_anew: bool
    n_missed: int  # fixes in a row that fitted nowhere


class Stepped(NamedTuple):
    """What a step comes to."""

    particles: Particles
    info: Info


def step(laws: Laws, particles: Particles, observed: Observed) -> Stepped:
    """Return the particles after an observation, moved to its moment and weighed by it.

    A pure function: the same particles and observations give the same bits; what is drawn when
    particles are chosen anew hangs on the seed and the number of the record alone.
    Raises InputError for an observation from before the particles' moment.
    """
    now = _moved_to(laws, particles, observed.after_launch_s)
    weighed = _weighed(laws, now, observed.what)
    weighed = with_turns(weighed, now.after_launch_s - particles.after_launch_s)
    even = effective_ratio(weighed.weight)
    after = chosen(laws, weighed, observed.number)
    return Stepped(after, Info(even, after is not weighed, after.n_missed))


def _moved_to(laws: Laws, particles: Particles, to_s: float) -> Particles:
    seconds = to_s - particles.after_launch_s
    if seconds < -LATE_S:
        given = f"{-seconds:.1f} s before the last one"
        raise InputError("observation", given, "in the order of time", "Leave the older one out.")
    if seconds <= 0.0:
        return particles
    cloud = with_down_ways(particles.cloud, particles.after_launch_s, seconds)
    cloud = moved(laws.movers, cloud, particles.after_launch_s, seconds)
    return with_age(particles._replace(cloud=cloud, after_launch_s=to_s), seconds)


def _weighed(laws: Laws, particles: Particles, what: What) -> Particles:
    """Return the particles weighed by what was observed at their moment."""
    match what:
        case Placed() | High():
            return at_fix(laws, particles, what)
        case Aimed():
            return after_bearing(laws, particles, what)
        case SunSeen():
            return after_sun(laws, particles, what)
        case EdgeSeen():
            return after_edge(laws, particles, what)
        case Graded():
            return after_grade(laws, particles, what)
        case LinkHeard() | LinkSilent():
            return after_link(laws, particles, what)
    return particles
