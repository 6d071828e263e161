"""Followed: the weighted stories of a loose flight, brought up to its newest fix and entry."""

from collections.abc import Iterator
from math import inf
from typing import Final, NamedTuple

from farglide.live.after.wayahead import stand_of
from farglide.live.free.beginning import Carried, beginning, begun_as, heard_fixes
from farglide.live.free.sighted import observed_of
from farglide.live.free.unheard import spells
from farglide.live.ride.stage import Staged, marked_t_s, packs_empty
from farglide.live.ride.standing import crew_place
from farglide.live.ride.state import Followed, Ride
from farglide.live.ride.task import Entered
from farglide.outlook.after import Stage
from farglide.sortie.spec import Sortie
from farglide.track.filter.begun import (
    after_loss,
    after_release,
    let_go,
    turned,
    unsteered,
)
from farglide.track.filter.observed import (
    LinkHeard,
    LinkSilent,
    Nothing,
    Observed,
    Placed,
    What,
)
from farglide.track.filter.particles import Laws, Particles, Story, story_weights
from farglide.track.filter.step import step
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.typed.entries import Mark, MarkKind

_FEW: Final = 300
"""So many of the last fixes are all taken in when stories begin anew; of those before, a tenth."""
_FRESH_S: Final = 5.0
_DOUBTED_RATIO: Final = 0.05
"""A link that is likelier dead than this is told alive once it is heard again."""
_STEERED_RATIO: Final = 0.5
_STAYS_RATIO: Final = 0.4
"""What is likelier steered than not tells how it glides, and goes on to as its stage does; by
marks, until its picture was lost."""
_SETTLES_S: Final = 90.0
"""After a release: the pull-out, and the turn to the way home; common practice, no source."""
_ENTRIES: Final = 2**32
"""Added to what numbers an entry: no fix has the same random numbers."""


class Follower(NamedTuple):
    """What stories are followed by.

    `base`: names the laws; `at_stand`: where the car is; `gliders`: feeds of the glider; `carried`:
    where it was while the balloon carried it, if no fix tells.
    """

    laws: Laws
    base: tuple[object, ...]
    sortie: Sortie
    at_stand: int | None
    gliders: tuple[str, ...] = ()
    carried: Carried | None = None


class _Event(NamedTuple):
    """A fix or an entry, and when it came, after the launch."""

    t_s: float
    number: int
    what: What | MarkKind
    fix: Fix | None = None


def followed(follower: Follower, ride: Ride) -> Followed | None:
    """Return the stories behind the newest fix and entry; None before anything came loose.

    Those of the ride are gone on with where they began the same, else all is taken in anew.
    """
    found = beginning(ride)
    if found is None:
        return None
    taken, key = ride.followed, (follower.base, *found.stories, found.t_s, found.late_s)
    if taken is None or taken.key != key or _is_undone(ride, taken):
        aimed = _aimed(follower, ride.told.to_field)
        particles = begun_as(follower.laws, found, aimed, follower.carried)
        if particles is None:
            return None
        taken = Followed(key=key, particles=particles, fix_t_s=found.t_s, entries=())
    return _with_events(follower, ride, taken)


def glide_fixes(ride: Ride, staged: Staged) -> tuple[Fix, ...]:
    """Return the fixes of a glide so far, settled and steered; none of what seems never to be."""
    if staged.stage not in (Stage.GLIDING, Stage.UNSTEERED) or ride.followed is None:
        return ()
    marks = [marked_t_s(ride, one) for one in (MarkKind.LOST, MarkKind.LAST, MarkKind.DEAD)]
    ends_s = [one for one in marks if one is not None and one >= staged.since_t_s]
    held = story_weights(ride.followed.particles)
    told = ride.told.stage == Stage.GLIDING.value
    if not ends_s and held.get(Story.GLIDING, 0.0) < (_STAYS_RATIO if told else _STEERED_RATIO):
        return ()
    from_s, to_s = staged.since_t_s + _SETTLES_S, min(ends_s, default=inf)
    return tuple(one for one in heard_fixes(ride) if from_s <= (one.t_s or 0.0) <= to_s)


def at_moment(laws: Laws, particles: Particles, now_s: float) -> Particles:
    """Return the particles moved on to a moment, nothing seen meanwhile."""
    now_s = max(now_s, particles.after_launch_s)
    return step(laws, particles, Observed(0, now_s, Nothing())).particles


def _is_undone(ride: Ride, taken: Followed) -> bool:
    """Tell whether an entry that was taken in does not stand any more."""
    return not set(taken.entries) <= {one.number for one in ride.entries}


def _aimed(follower: Follower, name: str) -> int | None:
    names = [one.name for one in follower.sortie.fields]
    return names.index(name) if name in names else None


def _with_events(follower: Follower, ride: Ride, taken: Followed) -> Followed:
    laws, particles, fix_t_s = follower.laws, taken.particles, taken.fix_t_s
    fresh = ride.newest is not None and ride.newest.t_s is not None and (
        ride.now_t_s(ride.at_s, 0.0) - ride.newest.t_s < _FRESH_S)  # fmt: skip
    events = (
        *_fixes(ride, taken),
        *_entries(follower, ride, taken),
        *_spells(follower, ride, taken),
    )
    for event in sorted(events, key=lambda one: one.t_s):
        after_s = event.t_s - laws.launch_t_s
        if isinstance(event.what, MarkKind):
            particles = _marked(follower, particles, event.what)
            particles = unsteered(particles) if packs_empty(ride, event.t_s) else particles
            continue
        is_fix = event.fix is not None
        if event.fix is not None:
            fix_t_s = max(fix_t_s, event.t_s)
        if isinstance(event.what, LinkHeard) or (not is_fix and fresh):
            after_s = particles.after_launch_s
        after_s = max(after_s, particles.after_launch_s)
        number = event.number
        particles = step(laws, particles, Observed(number, after_s, event.what)).particles
    numbers = tuple(one.number for one in ride.entries)
    return Followed(key=taken.key, particles=particles, fix_t_s=fix_t_s, entries=numbers)


def _fixes(ride: Ride, taken: Followed) -> Iterator[_Event]:
    """Yield the fixes that are not taken in yet, those without a height among them."""
    heard = (*heard_fixes(ride), *ride.points)
    new = [one for one in heard if (one.t_s or 0.0) > taken.fix_t_s]
    new.sort(key=lambda one: one.t_s or 0.0)
    older, last = new[:-_FEW], new[-_FEW:]
    for fix in (*older[::10], *last):
        height_m = amsl_m(fix)
        if fix.t_s is not None:
            what = Placed(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=height_m)
            yield _Event(fix.t_s, round(10.0 * fix.t_s) % _ENTRIES, what, fix)


def _entries(follower: Follower, ride: Ride, taken: Followed) -> Iterator[_Event]:
    """Yield what was typed since it came loose and is not taken in yet."""
    begun_t_s = follower.laws.launch_t_s + taken.particles.after_launch_s
    for one in ride.entries:
        if one.number in taken.entries or (not taken.entries and one.t_s < begun_t_s):
            continue
        what = _said(follower, ride, one)
        if what is not None:
            yield _Event(one.t_s, _ENTRIES + one.number, what)


def _spells(follower: Follower, ride: Ride, taken: Followed) -> Iterator[_Event]:
    """Yield the silent spells that are not taken in yet, and that a link lives after all."""
    laws, particles = follower.laws, taken.particles
    if laws.hearing is None:
        return
    for one in spells(ride, follower.sortie, follower.gliders, follower.at_stand):
        after_s, link = one.t_s - laws.launch_t_s, one.told.link
        number = 2 * _ENTRIES + 8 * round(10.0 * after_s) + link
        if isinstance(one.told, LinkSilent):
            is_new = after_s > particles.after_launch_s
        else:
            thought_dead = float(particles.links.dead_ratio[:, link].max()) > _DOUBTED_RATIO
            is_new = thought_dead and after_s > particles.links.counted_s[link]
        if is_new:
            yield _Event(one.t_s, number, one.told)


def _said(follower: Follower, ride: Ride, one: Entered) -> What | MarkKind | None:
    """Return what an entry says, from where the crew was then, as far as that is known."""
    if isinstance(one.entry, Mark):
        return one.entry.kind
    sortie, before = follower.sortie, [each for each in ride.entries if each.t_s <= one.t_s]
    car = crew_place(sortie, before, one.car)
    at_stand = follower.at_stand if car is None else stand_of(sortie, car)
    return observed_of(one.entry, sortie, at_stand, car)


def _marked(follower: Follower, particles: Particles, kind: MarkKind) -> Particles:
    """Return the particles after a mark of the crew."""
    if kind in (MarkKind.LOST, MarkKind.LAST):
        return turned(particles, after_loss())
    if kind is MarkKind.BACK:
        steered = {Story.GLIDING: 0.9, Story.HANDS_OFF: 0.1}
        return turned(particles, steered, (Story.HANDS_OFF, Story.SPIRAL, Story.SPIN))
    if kind is MarkKind.RELEASED:
        free = follower.sortie.release.free_after_burst_ratio
        freed = {story: free * one for story, one in after_release(0.0).items() if one > 0.0}
        after = turned(particles, {**freed, Story.TANGLED: 1.0 - free}, (Story.TANGLED,))
        return let_go(follower.laws, after, particles)
    return particles
