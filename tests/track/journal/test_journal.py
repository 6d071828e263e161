"""The journal keeps on whatever the medium does, says so loudly, and catches up."""

import errno
import os
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from farglide.errors import InputError
from farglide.track.journal.backlog import Backlog
from farglide.track.journal.frame import MOST_BYTES, Kind
from farglide.track.journal.journal import SYNC_S, Alarm, Journal
from farglide.track.journal.opening import begin, resume
from farglide.track.journal.payload import payload_of
from farglide.track.journal.reader import survey

from .faulty import Faulty
from .made import HEAD, made_log, moment, read, write_some


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "ride.log"


@pytest.fixture
def faulty(path: Path, monkeypatch: pytest.MonkeyPatch) -> Faulty:
    return Faulty(path, monkeypatch)


def note(journal: Journal, at_s: float) -> int:
    return journal.append(Kind.NOTE, payload_of({"at": at_s}), moment(at_s))


def numbers(path: Path) -> list[int]:
    return [record.number for record in read(path)]


def test_what_is_appended_is_in_the_file_at_once(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    assert [note(journal, 0.1), note(journal, 0.2)] == [1, 2]
    assert numbers(path) == [0, 1, 2]  # nothing was closed or flushed
    assert journal.last.number == 2
    assert journal.alarm is None
    journal.close()


def test_times_and_payload_come_back(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    journal.append(Kind.TYPED, b'{"km":3}', moment(12.25))
    journal.close()
    last = read(path)[-1]
    assert (last.kind, last.monotonic_s, last.utc_s) == (Kind.TYPED, 12.25, moment(12.25).utc_s)
    assert last.payload == b'{"km":3}'


def test_the_medium_is_waited_for_once_a_second(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[float] = []
    at_s = 0.0
    journal = begin(path, HEAD, moment(0.0))
    monkeypatch.setattr(os, "fsync", lambda _: synced.append(at_s))
    for n in range(1, 41):
        at_s = 0.25 * n
        note(journal, at_s)
    assert synced == [float(n) for n in range(1, 11)]
    at_s = 3.0  # the clock was set back
    note(journal, at_s)
    assert synced[-1] == 3.0
    journal.close()
    assert SYNC_S == 1.0


def test_the_wait_can_be_on_another_thread(path: Path) -> None:
    later: list[Callable[[], None]] = []
    journal = begin(path, HEAD, moment(0.0), later.append)
    for n in range(1, 5):
        note(journal, float(n))
    assert len(later) == 1  # the next only once that has ended
    later[0]()
    note(journal, 5.0)
    assert len(later) == 2
    journal.close()
    assert numbers(path) == [0, 1, 2, 3, 4, 5]


def test_many_threads_may_append(path: Path) -> None:
    told: list[list[int]] = [[] for _ in range(4)]
    with ThreadPoolExecutor(1) as pool:
        journal = begin(path, HEAD, moment(0.0), pool.submit)

        def work(mine: list[int]) -> None:
            mine += [note(journal, 0.01 * n) for n in range(500)]

        threads = [threading.Thread(target=work, args=(mine,)) for mine in told]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    journal.close()
    assert sorted(n for mine in told for n in mine) == list(range(1, 2001))
    assert numbers(path) == list(range(2001))


def test_an_executor_that_has_ended_is_no_matter(path: Path) -> None:
    with ThreadPoolExecutor(1) as pool:
        journal = begin(path, HEAD, moment(0.0), pool.submit)
    assert [note(journal, float(n)) for n in range(5)] == [1, 2, 3, 4, 5]
    assert journal.alarm is None
    journal.close()


def test_a_system_without_handles_left_is_an_alarm_that_ends(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(_: int) -> int:
        raise OSError(errno.EMFILE, "Too many open files")

    journal = begin(path, HEAD, moment(0.0))
    with monkeypatch.context() as patched:
        patched.setattr(os, "dup", none)
        note(journal, 1.0)
    assert journal.alarm == Alarm(why="Too many open files", since_s=1.0, n_waiting=0, n_dropped=0)
    note(journal, 2.0)
    assert journal.alarm is None
    journal.close()
    assert numbers(path) == [0, 1, 2]


@pytest.mark.parametrize("room_bytes", [0, 1, 40])
def test_a_full_disk_is_survived_and_caught_up(path: Path, faulty: Faulty, room_bytes: int) -> None:
    journal = begin(path, HEAD, moment(0.0))
    note(journal, 0.5)
    faulty.code, faulty.room_bytes = errno.ENOSPC, room_bytes
    assert [note(journal, 1.0 + 0.2 * n) for n in range(10)] == list(range(2, 12))
    alarm = journal.alarm
    assert alarm == Alarm(why="No space left on device", since_s=1.0, n_waiting=10, n_dropped=0)
    assert alarm is not None
    assert alarm.words() == (
        "The log is not being kept: No space left on device. 10 records wait in memory and are "
        "lost if this program ends. Make room, or plug the medium in again: they are then written."
    )
    assert survey(path).last.number == 1
    faulty.code = 0
    note(journal, 4.0)
    assert journal.alarm is None
    assert numbers(path) == list(range(13))
    journal.close()
    assert survey(path).n_left == 0


def test_a_medium_that_takes_nothing_is_asked_once_a_second(path: Path, faulty: Faulty) -> None:
    journal = begin(path, HEAD, moment(0.0))
    faulty.code = errno.ENOSPC
    for n in range(1000):
        note(journal, 0.01 * n)
    assert 9 <= faulty.n_asked <= 11


@pytest.mark.parametrize("code", [errno.EIO, errno.ENODEV, errno.EROFS, errno.ESTALE])
def test_a_medium_that_is_gone_and_back_is_caught_up(path: Path, faulty: Faulty, code: int) -> None:
    journal = begin(path, HEAD, moment(0.0))
    write_some(journal, range(5))
    faulty.code = code
    write_some(journal, range(5, 9))
    assert journal.alarm is not None
    assert journal.alarm.why == os.strerror(code)
    faulty.code = 0
    write_some(journal, range(9, 15))
    assert journal.alarm is None
    journal.close()
    whole = path.read_bytes()
    assert whole == undisturbed(path, 15)


def undisturbed(path: Path, n: int) -> bytes:
    other = path.with_name("other.log")
    journal = begin(other, HEAD, moment(0.0))
    write_some(journal, range(n))
    journal.close()
    return other.read_bytes()


def test_a_medium_that_lost_its_last_second_gets_it_again(path: Path, faulty: Faulty) -> None:
    journal = begin(path, HEAD, moment(0.0))
    write_some(journal, range(5))
    size = path.stat().st_size
    write_some(journal, [5])  # synchronised up to here
    note(journal, 5.5)
    faulty.code = errno.ENODEV
    note(journal, 5.6)
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size - 30)
    faulty.code = 0
    note(journal, 7.0)
    assert journal.alarm is None
    assert numbers(path) == list(range(journal.last.number + 1))
    assert path.stat().st_size > size
    journal.close()


def test_a_sync_that_failed_has_all_since_written_again(path: Path, faulty: Faulty) -> None:
    journal = begin(path, HEAD, moment(0.0))
    faulty.code, faulty.is_sync_only = errno.EIO, True
    note(journal, 0.5)
    note(journal, 1.0)  # the sync of this one fails
    assert journal.alarm == Alarm(why="Input/output error", since_s=1.0, n_waiting=2, n_dropped=0)
    faulty.code = 0
    note(journal, 2.0)
    assert journal.alarm is None
    journal.close()
    assert numbers(path) == [0, 1, 2, 3]


def test_what_the_memory_could_not_hold_is_counted_and_its_numbers_are_missing(
    path: Path, faulty: Faulty, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("farglide.track.journal.journal.Backlog", lambda: Backlog(500))
    journal = begin(path, HEAD, moment(0.0))
    faulty.code = errno.ENOSPC
    for n in range(20):
        note(journal, 1.0 + n)
    alarm = journal.alarm
    assert alarm is not None
    assert (alarm.n_waiting, alarm.n_dropped) == (10, 10)
    assert "10 older ones are lost." in alarm.words()
    faulty.code = 0
    note(journal, 30.0)
    journal.close()
    assert journal.n_dropped == 11
    found = survey(path)
    assert (found.n_lost, found.last.number) == (11, 21)
    resumed = resume(path, HEAD)
    assert note(resumed.journal, 31.0) == 22
    resumed.journal.close()


def test_another_file_in_its_place_is_not_written_into(path: Path, faulty: Faulty) -> None:
    journal = begin(path, HEAD, moment(0.0))
    note(journal, 0.5)
    faulty.code = errno.ENODEV
    note(journal, 1.0)
    path.unlink()
    path.write_bytes(b"somebody else's, of some length" * 100)
    faulty.code = 0
    note(journal, 3.0)
    assert journal.alarm is not None
    assert journal.alarm.why == "another file stands in its place now"
    assert path.read_bytes() == b"somebody else's, of some length" * 100
    path.unlink()
    note(journal, 5.0)
    assert journal.alarm.why == "No such file or directory"
    assert not path.exists()
    journal.close()


def test_a_log_that_was_moved_away_is_told_and_gone_on_with_when_it_is_back(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    write_some(journal, range(5))
    away = path.rename(path.with_name("away.log"))
    write_some(journal, range(5, 8))
    assert journal.alarm is not None
    assert journal.alarm.why == "No such file or directory"
    away.rename(path)
    write_some(journal, range(8, 15))
    assert journal.alarm is None
    journal.close()
    assert path.read_bytes() == undisturbed(path, 15)


def test_another_file_that_took_its_name_is_told_at_the_next_sync(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    path.unlink()
    path.write_bytes(b"mine")
    note(journal, 1.0)
    assert journal.alarm is not None
    assert journal.alarm.why == "another file stands in its place now"
    note(journal, 3.0)
    journal.close()
    assert path.read_bytes() == b"mine"


def test_a_log_that_others_wrote_on_meanwhile_is_left_to_them(path: Path, faulty: Faulty) -> None:
    journal = begin(path, HEAD, moment(0.0))
    faulty.code = errno.EIO
    note(journal, 0.5)
    faulty.code = 0
    others = resume(path, HEAD).journal
    note(journal, 2.0)
    assert journal.alarm is not None
    assert journal.alarm.why == "another process writes this log"
    for n in range(5):
        note(others, 2.0 + n)
    others.close()
    theirs = path.read_bytes()
    note(journal, 4.0)
    assert journal.alarm.why == "another process writes this log"
    journal.close()
    assert path.read_bytes() == theirs


def test_a_limit_of_the_system_counts_as_a_full_disk(path: Path) -> None:
    resource = pytest.importorskip("resource")
    journal = begin(path, HEAD, moment(0.0))
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (path.stat().st_size + 100, hard))
    try:
        for n in range(20):
            note(journal, 0.1 * n)
        assert journal.alarm is not None
        assert journal.alarm.why == "File too large"
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    journal.try_again(3.0)
    assert journal.alarm is None
    assert numbers(path) == list(range(21))
    journal.close()


def test_much_that_waits_is_written_in_parts(path: Path, faulty: Faulty) -> None:
    journal = begin(path, HEAD, moment(0.0))
    faulty.code = errno.ENOSPC
    for n in range(12_000):
        note(journal, 1e-5 * n)
    faulty.code = 0
    left = []
    for n in range(3):
        note(journal, 2.0 + 1e-3 * n)
        left.append(journal.alarm.n_waiting if journal.alarm else 0)
    assert left == [7001, 2002, 0]
    journal.close()
    assert numbers(path) == list(range(12_004))


def test_after_the_end_nothing_is_taken(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    journal.close()
    with pytest.raises(InputError, match=r"the log is closed; allowed: one that is open\. Resume"):
        note(journal, 1.0)


def test_a_record_that_is_too_large_takes_no_number(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    with pytest.raises(InputError, match="a record of the log is 67108865 bytes"):
        journal.append(Kind.RAW, bytes(MOST_BYTES + 1), moment(0.0))
    assert note(journal, 1.0) == 1
    journal.close()
    assert numbers(path) == [0, 1]


def test_a_closed_log_is_as_it_was_written(path: Path) -> None:
    assert made_log(path) == path.read_bytes()
    assert survey(path).is_finished
