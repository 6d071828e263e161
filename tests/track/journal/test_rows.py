"""Rows are kept in a file, or in memory where none can be."""

import sqlite3
from pathlib import Path

import pytest

from farglide.track.journal.frame import Kind
from farglide.track.journal.rows import Rows

from .made import made_log


def numbers(rows: Rows, *kinds: Kind) -> list[int]:
    return [one.number for one in rows.found(kinds, -1)]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "ride.log"
    made_log(path, 3)
    return path


def test_rows_name_the_mark_before_each_record(path: Path) -> None:
    rows = Rows(path.with_name("index"))
    with path.open("rb") as log:
        assert rows.catch_up("ride.log", log) == 9
    head, raw, *_ = rows.found((Kind.HEAD, Kind.RAW), -1)
    assert (head.number, head.before.at_byte, head.before.number) == (0, 0, -1)
    assert (raw.number, raw.before.number) == (1, 0)
    assert path.read_bytes()[: raw.before.at_byte][-8:] == raw.before.checksum
    assert [one.number for one in rows.found((Kind.RAW,), 1)] == [4, 6]
    rows.close()


def test_the_database_keeps_a_log_of_its_own_writes(path: Path) -> None:
    rows = Rows(path.with_name("index"))
    base = sqlite3.connect(path.with_name("index"))
    assert base.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    base.close()
    rows.close()


def test_where_no_file_can_be_kept_rows_are_in_memory(path: Path) -> None:
    rows = Rows(path.with_name("no folder") / "index")
    with path.open("rb") as log:
        assert rows.catch_up("ride.log", log) == 9
    assert numbers(rows, Kind.RAW) == [1, 4, 6]
    rows.throw_away()
    assert numbers_after_catching_up(rows, path) == [1, 4, 6]
    rows.close()


def numbers_after_catching_up(rows: Rows, path: Path) -> list[int]:
    with path.open("rb") as log:
        rows.catch_up("ride.log", log)
    return numbers(rows, Kind.RAW)


def test_a_database_that_another_holds_is_left_to_it(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("farglide.track.journal.rows._BUSY_S", 0.0)
    place = path.with_name("index")
    other = Rows(place)
    assert numbers_after_catching_up(other, path) == [1, 4, 6]
    base = sqlite3.connect(place, isolation_level=None)
    base.execute("BEGIN EXCLUSIVE")
    rows = Rows(place)
    assert numbers_after_catching_up(rows, path) == [1, 4, 6]
    base.execute("ROLLBACK")
    base.close()
    assert numbers(other, Kind.RAW) == [1, 4, 6]
    other.close()
    rows.close()
