"""Taken: a ride behind a fix that is believed, or a note of what is odd."""

from dataclasses import replace
from typing import Final

from farglide.live.asking import KEPT_S
from farglide.live.ride.belief import Jury, noted_of
from farglide.live.ride.lifted import with_liftoff
from farglide.live.ride.phase import launch_of
from farglide.live.ride.reading import with_point
from farglide.live.ride.stage import loosed_by
from farglide.live.ride.state import Ride
from farglide.sortie.spec import Launch
from farglide.track.journal.frame import Record
from farglide.track.reports import Fix

_NOTED: Final = 50


def with_fix(ride: Ride, fix: Fix, record: Record, jury: Jury, planned: Launch) -> Ride:
    """Return a ride that has heard a believed fix. `planned`: the launch as the files have it."""
    leads = jury.leads(ride, fix.feed, record.monotonic_s)
    now = jury.received(fix, record.utc_s)
    feed = replace(
        ride.feed(fix.feed),
        believed=now,
        believed_s=record.monotonic_s,
        doubted=None,
        n_doubted=0,
    )
    ride = ride.with_feed(fix.feed, feed)
    if not leads:
        return ride
    if fix.height_m is None:
        return with_point(ride, replace(fix, t_s=now.t_s))
    t_s = now.t_s
    is_apart = not ride.kept or abs(t_s - (ride.kept[-1].t_s or 0.0)) >= KEPT_S
    kept = (*ride.kept, fix) if is_apart else ride.kept
    ride = replace(ride, kept=kept, newest=fix, ahead_s=t_s - record.monotonic_s)
    ride = with_liftoff(ride, planned)
    return replace(ride, loosed=loosed_by(ride, launch_of(ride, planned)))


def with_note(ride: Ride, record: Record, jury: Jury) -> Ride:
    """Return a ride to which something was odd, and the fix that was not believed for it."""
    noted, doubted = noted_of(record)
    ride = replace(ride, noted=(*ride.noted, noted)[-_NOTED:])
    if doubted is None:
        return ride
    feed = ride.feed(noted.feed)
    received = jury.received(Fix(**doubted), record.utc_s)
    feed = replace(feed, doubted=received, n_doubted=feed.n_doubted + 1)
    return ride.with_feed(noted.feed, feed)
