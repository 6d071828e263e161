"""Entered: every kind of entry comes back out of the log as it was typed."""

import pytest

from farglide.live.ride.entered import (
    entry_kind,
    entry_of,
    entry_payload,
    mark_payload,
    marked_of,
    taken_back,
    undo_payload,
)
from farglide.track.journal.frame import Kind, Record
from farglide.track.typed.entries import (
    AtStand,
    Bearing,
    Entry,
    FieldRefused,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    NeckLift,
    Overlay,
    RoadClosed,
    Seen,
    Side,
    Sighting,
)

ENTRIES: tuple[Entry, ...] = (
    Overlay(lat_deg=-46.5, lon_deg=108.1, amsl_m=12_340.0), Overlay(volts=11.1), Grade(grade=3),
    Bearing(azimuth_deg=245.0, elevation_deg=32.0, stand="Stile Gap"), Bearing(azimuth_deg=1.0),
    Sighting(what=Seen.SUN, clock_h=10.5), Sighting(what=Seen.WOOD, side=Side.LEFT),
    Mark(kind=MarkKind.LAUNCHED), NeckLift(kg=1.6), LaunchMoved(lat_deg=-46.6, lon_deg=108.0),
    LaunchLate(late_s=-600.0), RoadClosed(start="A", end="B", longer_s=None),
    RoadClosed(start="A", end="B", longer_s=1500.0), FieldRefused(field="Tansy Lea"),
    FlownFor(field="Tansy Lea"),
    AtStand(stand="Stile Gap"), Bearing(azimuth_deg=1.0, sd_deg=0.5),
)  # fmt: skip


def record(payload: bytes) -> Record:
    return Record(kind=Kind.TYPED, number=3, monotonic_s=1.0, utc_s=2.0, payload=payload)


@pytest.mark.parametrize("entry", ENTRIES)
def test_an_entry_comes_back(entry: Entry) -> None:
    found = entry_of(record(entry_payload(entry, 1_800_000_000.25, "as typed")))
    assert found == (1_800_000_000.25, entry)
    assert entry_kind(entry) is (Kind.MARK if isinstance(entry, Mark) else Kind.TYPED)


@pytest.mark.parametrize(
    "payload",
    [b"{}", b'{"t_s":1.0,"entry":"Boat"}', b'{"t_s":"x","entry":"Grade","grade":3}',
     b'{"t_s":1.0,"entry":"Grade","grade":9}', b'{"t_s":1.0,"entry":"Grade","boat":3}',
     b'{"t_s":1.0,"entry":"Mark","kind":"boat"}'],
)  # fmt: skip
def test_what_is_no_entry_is_refused(payload: bytes) -> None:
    with pytest.raises(ValueError):
        entry_of(record(payload))


@pytest.mark.parametrize(("what", "kind"), [("released", MarkKind.RELEASED),
                                            ("packs empty", MarkKind.DEAD)])  # fmt: skip
def test_a_crew_would_mark_what_a_rehearsal_tells(what: str, kind: MarkKind) -> None:
    assert marked_of(record(mark_payload(what, "Home"))) == (2.0, Mark(kind=kind))
    assert marked_of(record(mark_payload("advised", "Home"))) is None


def test_an_undo_names_a_record() -> None:
    assert taken_back(record(undo_payload(41))) == 41
    with pytest.raises(ValueError, match="takes back no record"):
        taken_back(record(b'{"takes_back":"last"}'))
