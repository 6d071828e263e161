"""The index finds what the log holds, whatever becomes of its database."""

import sqlite3
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.track.journal.frame import Kind, Record, frame_of
from farglide.track.journal.index import Index, beside
from farglide.track.journal.opening import begin, resume
from farglide.track.journal.payload import fix_payload
from farglide.track.journal.reader import survey
from farglide.track.journal.rows import IndexDamagedError, Rows

from .made import HEAD, fix, made_log, moment, read, seeded, write_some


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "ride.log"
    made_log(path, 30)
    return path


def assert_whole(path: Path) -> None:
    """Assert that the index of a log answers as its records do, one by one."""
    records = read(path)
    with Index(path) as index:
        assert index.catch_up() == len(records)
        for kinds in ([Kind.RAW], [Kind.FIX, Kind.TICK], list(Kind)):
            assert list(index.records(kinds)) == [one for one in records if one.kind in kinds]


def test_records_are_found_by_kind_and_time(path: Path) -> None:
    assert_whole(path)
    with Index(path) as index:
        found = list(index.records((Kind.RAW, Kind.TICK), 10.0, 12.0))
    told = [(one.kind, one.monotonic_s) for one in found]
    assert told == [(Kind.RAW, 10.0), (Kind.RAW, 11.0), (Kind.RAW, 12.0)]


def test_fixes_come_in_order_by_feed(path: Path) -> None:
    journal = resume(path, HEAD).journal
    journal.append(Kind.FIX, fix_payload(fix(90, "car")), moment(90.0))
    write_some(journal, [91])
    journal.close()
    with Index(path) as index:
        assert list(index.fixes("car")) == [fix(90, "car")]
        assert list(index.fixes()) == [*map(fix, range(30)), fix(90, "car"), fix(91)]


def test_a_record_that_holds_no_fix_is_named(path: Path) -> None:
    journal = resume(path, HEAD).journal
    journal.append(Kind.FIX, b'{"feed":"a"}', moment(40.0))
    journal.close()
    with Index(path) as index, pytest.raises(SourceError, match=r"record 68: holds no fix: "):
        list(index.fixes())


def test_an_index_that_is_there_is_used(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert_whole(path)
    monkeypatch.setattr(Rows, "throw_away", lambda _: pytest.fail("it was good"))
    assert_whole(path)


def test_what_is_logged_meanwhile_is_caught_up(path: Path) -> None:
    journal = begin(path.with_name("b.log"), HEAD, moment(0.0))
    with Index(journal.path) as index:
        assert index.catch_up() == 1
        write_some(journal, range(3))
        assert index.catch_up() == 8
        assert [one.number for one in index.records((Kind.RAW,))] == [1, 4, 6]
    journal.close()


def test_the_index_of_a_longer_log_is_thrown_away(path: Path) -> None:
    whole = path.read_bytes()
    with Index(path) as index:
        index.catch_up()
    path.write_bytes(whole[: len(whole) // 2])
    resume(path, HEAD).journal.close()
    assert_whole(path)


def test_the_index_of_another_log_is_thrown_away(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.log"
    journal = begin(other, HEAD, moment(7.0))
    write_some(journal, range(30))
    journal.close()
    with Index(other):
        pass
    beside(other).replace(beside(path))
    assert_whole(path)


@pytest.mark.parametrize("content", [b"", b"no database at all, but long enough to be one" * 50])
def test_what_is_no_database_is_thrown_away(path: Path, content: bytes) -> None:
    beside(path).write_bytes(content)
    assert_whole(path)
    assert beside(path).read_bytes()[:15] == b"SQLite format 3"


def test_the_database_of_something_else_is_thrown_away(path: Path) -> None:
    base = sqlite3.connect(beside(path))
    base.execute("CREATE TABLE state (a)")
    base.execute("INSERT INTO state VALUES (1)")
    base.commit()
    base.close()
    assert_whole(path)


@pytest.mark.parametrize(
    "change",
    [
        "UPDATE records SET kind = 2 WHERE number = 1 + (SELECT max(number) FROM records) - 1",
        "DELETE FROM records WHERE number = 5",
        "UPDATE records SET before_byte = before_byte + 1 WHERE number = 4",
        "UPDATE records SET before_byte = -1 WHERE number = 4",
        "UPDATE records SET before_checksum = 'text' WHERE number = 4",
        "UPDATE records SET before_checksum = x'00' WHERE number = 4",
        "UPDATE records SET before_checksum = x'0000000000000000' WHERE number = 4",
        "UPDATE state SET sums = 'x'",
        "UPDATE state SET form = 'index 0'",
        "UPDATE state SET at_byte = 'far'",
        "DELETE FROM state",
        "DROP TABLE records",
    ],
)
def test_a_changed_database_changes_no_answer(path: Path, change: str) -> None:
    with Index(path):
        pass
    base = sqlite3.connect(beside(path))
    base.execute(change)
    base.commit()
    base.close()
    assert_whole(path)


def test_a_database_with_any_bytes_changed_changes_no_answer(path: Path) -> None:
    with Index(path):
        pass
    whole, rng = beside(path).read_bytes(), seeded(2)
    for _ in range(60):
        changed = bytearray(whole)
        at, n = int(rng.integers(len(whole))), int(rng.integers(1, 40))
        changed[at : at + n] = rng.bytes(n)
        beside(path).write_bytes(changed[: int(rng.integers(len(whole))) or None])
        assert_whole(path)


def test_a_database_that_changes_while_it_is_asked_is_made_anew(path: Path) -> None:
    whole = [one for one in read(path) if one.kind is Kind.RAW]
    with Index(path) as index:
        found = index.records((Kind.RAW,))
        first = next(found)
        base = sqlite3.connect(beside(path))
        base.execute("UPDATE records SET before_byte = 3")
        base.commit()
        base.close()
        assert [first, *found] == whole  # those at hand were asked for already
        assert list(index.records((Kind.RAW,))) == whole


def test_a_log_that_changes_while_it_is_read_is_named(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> None:
        raise IndexDamagedError

    with Index(path) as index:
        monkeypatch.setattr("farglide.track.journal.index._record", never)
        with pytest.raises(SourceError, match=r"changes or is damaged while it is read\. Look"):
            list(index.records((Kind.RAW,)))


def test_a_log_of_a_newer_form_has_no_index(path: Path) -> None:
    mark = survey(path).mark
    record = Record(kind=99, number=mark.number + 1, monotonic_s=0.0, utc_s=0.0, payload=b"")  # type: ignore[arg-type]
    with path.open("ab") as file:
        file.write(frame_of(record, mark))
    with pytest.raises(SourceError, match=r"is of kind 99, which this farglide does not know"):
        Index(path)


def test_without_a_log_there_is_no_index(tmp_path: Path) -> None:
    with pytest.raises(SourceError, match=r"none.log: cannot be read: No such file"):
        Index(tmp_path / "none.log")
    assert list(tmp_path.iterdir()) == []
