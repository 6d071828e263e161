"""A log is begun once and gone on with as often as need be; what is bad goes into a file beside."""

import errno
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.errors import InputError, SourceError
from farglide.track.journal.frame import Kind
from farglide.track.journal.opening import begin, resume
from farglide.track.journal.reader import survey

from .faulty import Faulty
from .made import HEAD, made_log, moment, read, write_some


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "ride.log"


def test_a_new_log_holds_its_head(path: Path) -> None:
    begin(path, HEAD, moment(2.5)).close()
    (head,) = read(path)
    assert (head.kind, head.number, head.monotonic_s) == (Kind.HEAD, 0, 2.5)
    assert survey(path).head == HEAD


def test_a_log_that_is_there_is_not_begun_again(path: Path) -> None:
    whole = made_log(path)
    with pytest.raises(InputError, match=r"a finished log of 24 records; .* Resume it, or give"):
        begin(path, HEAD, moment(0.0))
    path.write_bytes(whole[:-1])
    with pytest.raises(InputError, match=r"an unfinished log of 23 records; allowed: a new name"):
        begin(path, HEAD, moment(0.0))
    path.write_text("mine")
    with pytest.raises(InputError, match=r"a name that nothing has yet\. It is left alone"):
        begin(path, HEAD, moment(0.0))
    assert path.read_text() == "mine"


def test_a_place_that_cannot_be_written_is_refused_before_the_ride(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(InputError, match=r"cannot be written \(No such file .* another place"):
        begin(path / "no" / "folder", HEAD, moment(0.0))
    faulty = Faulty(path, monkeypatch)
    faulty.code = errno.ENOSPC
    with pytest.raises(InputError, match=r"cannot be written \(No space left on device\)"):
        begin(path, HEAD, moment(0.0))
    assert not path.exists()


def test_a_log_that_another_part_of_this_process_writes_is_refused(path: Path) -> None:
    journal = begin(path, HEAD, moment(0.0))
    with pytest.raises(InputError, match=r"another process writes this log; .* Two programs cann"):
        resume(path, HEAD)
    journal.close()
    resume(path, HEAD).journal.close()


def test_a_log_goes_on_at_every_byte_where_it_was_cut(path: Path) -> None:
    whole = made_log(path, 3)
    head_end = read_end_of_head(path)
    for n in range(head_end, len(whole) + 1, 7):
        path.write_bytes(whole[:n])
        resumed = resume(path, HEAD)
        kept = resumed.found.mark.at_byte
        assert resumed.journal.last == resumed.found.last
        number = resumed.journal.append(Kind.NOTE, b"{}", moment(50.0))
        assert number == resumed.found.last.number + 1
        resumed.journal.close()
        assert path.read_bytes()[:kept] == whole[:kept]
        assert [one.number for one in read(path)] == list(range(number + 1))
        if n == kept:
            assert resumed.beside is None
        else:
            assert resumed.beside is not None
            assert resumed.beside.name.startswith(f"ride.log.cut-{kept}")
            assert resumed.beside.read_bytes() == whole[kept:n]


def read_end_of_head(path: Path) -> int:
    with path.open("rb") as file:
        return 29 + int.from_bytes(file.read(4), "little") + 8


def test_what_was_cut_off_before_is_not_written_over(path: Path) -> None:
    made_log(path)
    besides = []
    for more in (b"first", b"second"):
        with path.open("ab") as file:
            file.write(more)
        resumed = resume(path, HEAD)
        resumed.journal.close()
        assert resumed.beside is not None
        besides.append(resumed.beside)
    assert [one.read_bytes() for one in besides] == [b"first", b"second"]


def test_a_log_of_another_flight_is_refused_and_left_alone(path: Path) -> None:
    whole = made_log(path) + b"tail"
    path.write_bytes(whole)
    with pytest.raises(SourceError, match=r"is the log of another flight: another winds"):
        resume(path, replace(HEAD, winds="[2]"))
    assert path.read_bytes() == whole
    assert list(path.parent.iterdir()) == [path]


def test_what_is_no_log_is_refused(path: Path) -> None:
    with pytest.raises(SourceError, match=r"cannot be read: No such file"):
        resume(path, HEAD)
    path.write_text("mine, all of it, longer than the head of a record would be")
    with pytest.raises(SourceError, match=r"is no log of a ride"):
        resume(path, HEAD)


@pytest.mark.parametrize("more", [b"", b"half of a record"])
def test_a_read_only_medium_is_gone_on_with_in_memory(
    path: Path, monkeypatch: pytest.MonkeyPatch, more: bytes
) -> None:
    whole = made_log(path) + more
    path.write_bytes(whole)
    faulty = Faulty(path, monkeypatch)
    faulty.code = errno.EROFS
    resumed = resume(path, HEAD)
    alarm = resumed.journal.alarm
    assert alarm is not None
    assert alarm.why == "Read-only file system"
    write_some(resumed.journal, range(20, 23))
    assert path.read_bytes() == whole
    faulty.code = 0
    write_some(resumed.journal, [24])
    assert resumed.journal.alarm is None
    resumed.journal.close()
    assert survey(path).n_lost == survey(path).n_left == 0
    besides = list(path.parent.glob("*.cut-*"))
    assert [one.read_bytes() for one in besides] == ([more] if more else [])


def test_a_disk_too_full_for_the_bad_end_keeps_it_until_there_is_room(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = made_log(path) + b"half"
    path.write_bytes(whole)

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("farglide.track.journal.opening.cut_off", full)
        resumed = resume(path, HEAD)
    assert resumed.beside is None
    assert resumed.journal.alarm is not None
    resumed.journal.append(Kind.NOTE, b"{}", moment(10.5))
    assert path.read_bytes() == whole
    resumed.journal.append(Kind.NOTE, b"{}", moment(12.0))
    assert resumed.journal.alarm is None
    resumed.journal.close()
    assert [one.read_bytes() for one in path.parent.glob("*.cut-*")] == [b"half"]
    assert survey(path).last.number == resumed.found.last.number + 2
