"""Taken: which fixes a ride keeps, one a second, and what was doubted of a feed."""

from dataclasses import replace

from farglide.live.ride.belief import Jury, note_payload
from farglide.live.ride.state import Ride
from farglide.live.ride.taken import with_fix, with_note
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.sortie.spec import Launch
from farglide.track.journal.frame import Kind, Record
from farglide.track.received import Oddity, Suspicion
from farglide.track.reports import Fix

T_S = 1_800_000_000.0
LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=T_S, zone="UTC")
TRACKER = FeedSpec(name="tracker", where=where_of("udp://:5005"), format="nmea")
JURY = Jury((TRACKER,), LAUNCH)
FIX = Fix(feed="tracker", lat_deg=-46.5, lon_deg=108.0, t_s=T_S, height_m=500.0)


def record(at_s: float, kind: Kind = Kind.FIX, payload: bytes = b"") -> Record:
    return Record(kind=kind, number=1, monotonic_s=at_s, utc_s=T_S + at_s, payload=payload)


def test_fixes_are_kept_one_a_second_and_the_newest_beside_them() -> None:
    ride = Ride()
    for after_s in (0.0, 0.4, 1.1):
        ride = with_fix(ride, replace(FIX, t_s=T_S + after_s), record(after_s), JURY, LAUNCH)
    assert [one.t_s for one in ride.kept] == [T_S, T_S + 1.1]
    assert ride.newest is ride.kept[-1]
    assert ride.ahead_s == T_S
    bare = replace(FIX, t_s=T_S + 5.0, height_m=None)
    ride = with_fix(ride, bare, record(5.0), JURY, LAUNCH)
    assert [one.t_s for one in ride.points] == [T_S + 5.0]
    assert ride.newest is ride.kept[-1]


def test_what_is_doubted_is_counted_until_one_is_believed() -> None:
    odd = Suspicion(
        oddity=Oddity.TOO_FAST, feed="tracker", what="too fast", changes="it", remedy="Look"
    )
    ride = Ride()
    for n in (1, 2):
        ride = with_note(ride, record(1.0, Kind.NOTE, note_payload(odd, FIX)), JURY)
        assert ride.feed("tracker").n_doubted == n
    assert [one.text for one in ride.noted] == [odd.text, odd.text]
    plain = with_note(ride, record(1.0, Kind.NOTE, note_payload(odd, None)), JURY)
    assert (len(plain.noted), plain.feed("tracker").n_doubted) == (3, 2)
    found = with_fix(ride, FIX, record(2.0), JURY, LAUNCH).feed("tracker")
    assert (found.n_doubted, found.doubted) == (0, None)
