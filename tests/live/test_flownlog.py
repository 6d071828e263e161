"""Flown log: logs of rides and rehearsals: cut, damaged, newer, unfinished, of another flight."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.errors import SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asking import as_planned
from farglide.live.flownlog import check_its_flight, flown_of_log, launch_as_was
from farglide.live.rehearse.crew import ByRule
from farglide.live.rehearse.logged import begin_log, write_log
from farglide.live.rehearse.rehearsal import Named, rehearsed
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import truth_of
from farglide.live.ride.told import Told, advice_payload
from farglide.review.flown import Flown, Marked, Typed, What
from farglide.review.packs import pack_shown
from farglide.sim.core.workers import in_one_go
from farglide.sortie.pack import Pack
from farglide.track.journal.frame import START, Kind, Record, frame_of
from farglide.track.journal.head import head_payload
from farglide.track.journal.journal import Moment
from farglide.track.journal.opening import begin
from farglide.track.journal.payload import fix_payload, payload_of
from farglide.track.journal.reader import open_log
from farglide.track.reports import Fix
from farglide.track.typed.entries import Grade, LaunchLate, LaunchMoved, MarkKind, Overlay

from ..review.made import advice, been
from .made import CAR, GRAIN, HEAD, SECOND, SPECS, TRACKER, begun, climb_of, no_tables


@pytest.fixture
def ridden(demo_flight: FlightFile, demo_sounding: Sounding, tmp_path: Path) -> Path:
    """Return the log of a ride: a climb heard for five minutes, things typed, one taken back."""
    log = tmp_path / "ride.log"
    crew = begun(log, replace(demo_flight.sortie, links=()), no_tables)
    crew.at(0.0)
    crew.types("launched")
    for fix in climb_of(demo_flight.sortie, demo_sounding)[:30]:
        crew.hears(fix)
    crew.hears(replace(climb_of(demo_flight.sortie, demo_sounding)[30], feed="car"), "car")
    crew.types("picture 4")
    crew.types("burst")
    crew.types("undo")
    crew.types("height 3300")
    crew.running.close()
    return log


def test_a_ride_is_read_back(ridden: Path, demo_flight: FlightFile) -> None:
    found = flown_of_log(ridden, SPECS)
    assert found.is_log
    assert len(found.fixes) == 30
    assert {one.feed for one in found.fixes} == {"tracker"}
    assert [one.what for one in found.marked] == [What.LAUNCHED]  # the burst was taken back
    assert found.typed[0].entry == Grade(grade=4)
    assert not found.is_finished
    assert "The log is unfinished: this is the flight so far." in found.notes
    launch = launch_as_was(found, demo_flight.sortie.launch)
    assert launch.t_s == pytest.approx(demo_flight.sortie.launch.t_s, abs=1.0)
    check_its_flight(ridden, found, launch)


def test_cut_at_any_byte_it_says_what_stands_before(ridden: Path, tmp_path: Path) -> None:
    whole, part = ridden.read_bytes(), tmp_path / "part.log"
    n_before = 0
    for share in (0.5, 0.7, 0.9, 0.99):
        part.write_bytes(whole[: int(share * len(whole))])
        found = flown_of_log(part, SPECS)
        assert n_before <= len(found.fixes) <= 30
        n_before = len(found.fixes)
    assert n_before > 25
    assert "What stands before is reviewed." in " ".join(found.notes)


def test_damaged_in_the_middle_it_is_read_up_to_there(ridden: Path) -> None:
    data = bytearray(ridden.read_bytes())
    data[len(data) * 3 // 4] ^= 0xFF
    ridden.write_bytes(bytes(data))
    found = flown_of_log(ridden, SPECS)
    assert 10 < len(found.fixes) < 30
    assert "does not check there" in " ".join(found.notes)


def log_of(path: Path, *records: tuple[Kind, bytes]) -> Path:
    journal = begin(path, HEAD, Moment(0.0, 100.0))
    for k, (kind, payload) in enumerate(records):
        journal.append(kind, payload, Moment(1.0 + k, 101.0 + k))
    journal.close()
    return path


def test_records_that_say_nothing_are_counted(tmp_path: Path) -> None:
    log = log_of(
        tmp_path / "odd.log",
        (Kind.FIX, b"{}"), (Kind.FIX, b"no json"), (Kind.ADVICE, payload_of({"advice": {}})),
        (Kind.MARK, payload_of({"mark": "sneezed"})), (Kind.TYPED, payload_of({"entry": "Song"})),
        (Kind.UNDO, payload_of({"takes_back": "it"})), (Kind.END, payload_of({})),
    )  # fmt: skip
    found = flown_of_log(log, ())
    assert found.is_finished
    assert (found.fixes, found.typed, found.marked, found.advices) == ((), (), (), ())
    assert found.notes == (
        "Left out 1 records (advice) that cannot be read.",
        "Left out 2 records (fix) that cannot be read.",
        "Left out 1 records (mark) that cannot be read.",
        "Left out 1 records (typed) that cannot be read.",
        "Left out 1 records (undo) that cannot be read.",
    )


def test_a_newer_log_is_named(tmp_path: Path) -> None:
    head = json.loads(head_payload(HEAD)) | {"form": "farglide log 2"}
    record = Record(kind=Kind.HEAD, number=0, monotonic_s=0.0, utc_s=0.0, payload=payload_of(head))
    newer = tmp_path / "newer.log"
    newer.write_bytes(frame_of(record, START))
    with pytest.raises(SourceError, match="written in the form 'farglide log 2'; this farglide"):
        flown_of_log(newer, ())


def fix(feed: str, t_s: float, height_m: float) -> tuple[Kind, bytes]:
    one = Fix(feed=feed, lat_deg=-46.5, lon_deg=108.0, t_s=t_s, height_m=height_m)
    return Kind.FIX, fix_payload(one)


def test_a_second_feed_and_typed_digits_stand_in_for_a_silent_one(tmp_path: Path) -> None:
    digits = {"t_s": 900.0, "line": "", "entry": "Overlay", "lat_deg": -46.5, "lon_deg": 108.0,
              "amsl_m": 5000.0, "speed_mps": None, "volts": 11.9}  # fmt: skip
    log = log_of(
        tmp_path / "two.log", fix("tracker", 100.0, 300.0), fix("second", 101.0, 900.0),
        fix("second", 300.0, 1500.0), fix("car", 300.0, 240.0), fix("car 2", 301.0, 240.0),
        (Kind.TYPED, payload_of(digits)), (Kind.TYPED, payload_of(digits | {"t_s": 310.0})),
        (Kind.TYPED, payload_of(digits | {"t_s": 990.0, "amsl_m": None})),
    )  # fmt: skip
    found = flown_of_log(log, (TRACKER, SECOND, CAR))
    assert [(one.feed, one.t_s) for one in found.fixes] == [
        ("tracker", 100.0), ("second", 300.0), ("typed", 900.0),
    ]  # fmt: skip
    assert [one.feed for one in found.cars] == ["car", "car 2"]
    unnamed = flown_of_log(log, ())  # feeds of the command line: in the order heard
    assert [one.t_s for one in unnamed.fixes] == [100.0, 300.0, 900.0]


def test_advice_of_a_ride_stands_with_what_the_next_one_hangs_on(tmp_path: Path) -> None:
    told = (advice(600.0), advice(1200.0))
    log = log_of(tmp_path / "told.log",
                 *((Kind.ADVICE, advice_payload(one, Told())) for one in told))  # fmt: skip
    assert flown_of_log(log, ()).advices == told


def test_advice_with_parts_of_a_newer_farglide_is_read_all_the_same(tmp_path: Path) -> None:
    document = json.loads(advice_payload(advice(600.0), Told()))
    document["advice"]["phase"] = "gliding"
    log = log_of(tmp_path / "newer.log", (Kind.ADVICE, payload_of(document)))
    assert len(flown_of_log(log, ()).advices) == 1


def test_a_launch_is_where_and_when_it_was(demo_flight: FlightFile) -> None:
    planned = demo_flight.sortie.launch
    moved = Typed(t_s=0.0, entry=LaunchMoved(lat_deg=-46.4, lon_deg=108.1))
    late = Typed(t_s=0.0, entry=LaunchLate(late_s=1200.0))
    other = Typed(t_s=0.0, entry=Overlay(volts=12.0))
    flown = Flown(path="", is_log=True, is_finished=True, fixes=(), typed=(moved, late, other))
    found = launch_as_was(flown, planned)
    assert (found.lat_deg, found.lon_deg) == (-46.4, 108.1)
    assert found.t_s == planned.t_s + 1200.0
    mark = Marked(t_s=planned.t_s + 1234.0, what=What.LAUNCHED)
    assert launch_as_was(replace(flown, marked=(mark,)), planned).t_s == mark.t_s
    assert launch_as_was(replace(flown, typed=()), planned) == planned
    climb = tuple(
        Fix(feed="tracker", lat_deg=planned.lat_deg, lon_deg=planned.lon_deg,
            t_s=planned.t_s + 60.0 + s, height_m=planned.amsl_m + 5.0 * s)
        for s in range(200)
    )  # fmt: skip
    seen = replace(flown, typed=(), fixes=climb, marked=(mark,))  # typed 20 min into the climb
    assert launch_as_was(seen, planned).t_s == pytest.approx(planned.t_s + 60.0, abs=2.0)


def test_fixes_of_another_flight_are_named(ridden: Path, demo_flight: FlightFile) -> None:
    launch = demo_flight.sortie.launch
    found = flown_of_log(ridden, SPECS)
    for other in (replace(launch, lat_deg=52.0), replace(launch, t_s=launch.t_s - 3e6)):
        with pytest.raises(SourceError, match="fixes of another flight"):
            check_its_flight(ridden, found, other)
    check_its_flight(ridden, replace(found, fixes=()), launch)


def test_a_rehearsal_is_read_back(
    demo_flight: FlightFile, demo_sounding: Sounding, tmp_path: Path
) -> None:
    sortie = replace(demo_flight.sortie, links=(), terrain=None)
    planned = as_planned(sortie, Pack(flight_text="", sounding=demo_sounding), GRAIN, in_one_go)
    sitting = Sitting(planned, truth_of(planned, Changes(), 0), 1)
    found = rehearsed(sitting, ByRule("low", 5000.0, np.inf), Named((), 0))
    log = tmp_path / "rehearsal.log"
    write_log(begin_log(log, HEAD, sortie.launch.t_s), sitting, found, 1)
    flown = flown_of_log(log, ())
    assert flown.is_finished
    assert (flown.notes, flown.speed) == ((), None)
    hurried = tmp_path / "hurried.log"
    head = replace(HEAD, speed=20.0)
    write_log(begin_log(hurried, head, sortie.launch.t_s), sitting, found, 1)
    again = flown_of_log(hurried, ())
    assert again.speed == 20.0
    assert again.notes[0].startswith("A rehearsal: its balloon, glider and air were drawn")
    assert "At 20 times real time the crew's reaction counts for nothing" in again.notes[0]
    told = [one for one in found.told.happened if one.what.value != "advised"]
    assert [one.what.value for one in flown.marked] == [one.what.value for one in told]
    assert flown.first(What.RELEASED) is not None
    assert len(flown.advices) == sum(one.advice is not None for one in found.told.happened)
    assert flown.advices[0].fields[0].name == "Harrowend strip"
    with open_log(log) as (_, scan):
        assert len(flown.fixes) == sum(1 for _ in scan.of((Kind.FIX,)))


def test_packs_that_ended_are_marked_by_the_crew(
    demo_flight: FlightFile, demo_sounding: Sounding, tmp_path: Path
) -> None:
    log = tmp_path / "dead.log"
    crew = begun(log, replace(demo_flight.sortie, links=()), no_tables)
    crew.at(0.0)
    crew.types("launched")
    assert crew.types("dead").startswith("Taken: packs empty, nobody steers.")
    crew.running.close()
    assert MarkKind.DEAD in crew.running.ride.marks  # handed on to the ride
    found = flown_of_log(log, SPECS)
    dead = found.first(What.DEAD)
    assert dead is not None
    assert len(demo_flight.sortie.packs) == 1
    shown = pack_shown(demo_flight.sortie, found, been([0.0, 10.0], [240.0, 300.0]))
    assert shown is not None
    assert not shown.at_least
