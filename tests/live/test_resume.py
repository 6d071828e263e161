"""Resume: a ride killed at any moment goes on with all it took notice of; replays are compared."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.errors import InputError, SourceError
from farglide.flightfile.flightfile import read_flight_file
from farglide.live.resume import Replayed, begin_at, resume_at, ride_in
from farglide.live.session import Session
from farglide.sortie.spec import Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.journal import Moment
from farglide.track.reports import Fix

from ..conftest import DEMO
from .killed import kill_rides
from .made import HEAD, SPECS, begun, no_tables


def test_a_new_log_holds_its_head_and_no_ride(tmp_path: Path) -> None:
    opened = begin_at(tmp_path / "ride.log", HEAD, Moment(0.0, 1.8e9))
    assert opened.is_new
    assert opened.advice is None
    with pytest.raises(InputError, match=r"the log is .*; allowed: a new name"):
        begin_at(tmp_path / "ride.log", HEAD, Moment(0.0, 1.8e9))


def test_what_is_gone_on_with_says_so_and_another_flight_is_refused(
    tmp_path: Path, sortie: Sortie
) -> None:
    path = tmp_path / "ride.log"
    crew = begun(path, sortie, no_tables)
    crew.types("q 3")
    crew.running.close()
    with path.open("ab") as file:
        file.write(b"half a record")
    session = Session(sortie, SPECS, no_tables)
    opened = resume_at(path, HEAD, session)
    assert not opened.is_new
    assert [one.words for one in opened.ride.entries] == ["picture 3"]
    assert opened.notes[0] == "Gone on with after 2 records."
    assert "13 bytes" in opened.notes[1]
    assert ".cut-" in opened.notes[1]
    opened.journal.close()
    with pytest.raises(SourceError, match="is the log of another flight: another winds"):
        resume_at(path, replace(HEAD, winds="others"), session)


@pytest.mark.slow
def test_rides_killed_at_random_lose_nothing_they_took_notice_of(tmp_path: Path) -> None:
    path, sortie = tmp_path / "ride.log", read_flight_file(DEMO).sortie
    begun(path, sortie, no_tables).running.close()
    session = Session(sortie, SPECS, no_tables)
    kill_rides(path, session, (4, 9, 23))


def test_a_log_says_of_its_flight_what_the_ride_had(
    tmp_path: Path, sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, no_tables)
    crew.at(30.0)
    crew.types("launched")
    for one in climb[4:10]:
        crew.hears(one)
        crew.hears(one, feed="second")
    crew.types("refused tansy")
    found, ride = ride_in(tmp_path / "ride.log", sortie), crew.running.ride  # while it is written
    assert (found.entries, found.fixes(), found.at_s) == (ride.entries, ride.fixes(), ride.at_s)


def test_a_replay_is_compared_bit_for_bit() -> None:
    record = Record(kind=Kind.ADVICE, number=1, monotonic_s=0.0, utc_s=0.0, payload=b"{}")
    assert Replayed(record=record, again=b"{}").is_same
    assert not Replayed(record=record, again=b"{ }").is_same
    assert not Replayed(record=record, again=None).is_same
