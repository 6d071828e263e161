"""Rows: the database of the index, with sums by which a changed row is found out."""

import sqlite3
from collections.abc import Collection, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, Final, NamedTuple

from farglide.track.journal.frame import START, SUM_BYTES, Kind, Mark, Record
from farglide.track.journal.head import FORM
from farglide.track.journal.reader import Scan

_FORM: Final = f"index 1 of {FORM}"
_AT_ONCE: Final = 5_000
_BUSY_S: Final = 2.0
_NOT_ITS_FAULT: Final = frozenset(
    {
        sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM,
        sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR,
    }
)  # fmt: skip
_WRONG: Final = (sqlite3.Error, ValueError, TypeError)
"""What a damaged database brings forth; its own message may be damaged as well."""
_TABLES: Final = """
CREATE TABLE state (form TEXT, head BLOB, at_byte INT, checksum BLOB, number INT, sums TEXT);
CREATE TABLE records (
  kind INT, number INT, before_byte INT, before_checksum BLOB, before_number INT,
  PRIMARY KEY (kind, number)
) WITHOUT ROWID;
"""
_SUMS: Final = """
SELECT count(*), sum(kind), sum(number), sum(before_byte), sum(before_number) FROM records
"""


class IndexDamagedError(Exception):
    """The database is damaged, or of another log: never shown to a user, who gets a new one."""


class Found(NamedTuple):
    """Where a record stands: of which kind, its number, and the mark before it."""

    kind: int
    number: int
    before: Mark


class _State(NamedTuple):
    mark: Mark
    head: bytes
    sums: tuple[int, ...]


class Rows:
    """A database of where records stand; in memory where the file cannot be used."""

    def __init__(self, path: Path) -> None:
        self._path, self._is_checked = path, False
        self._base = self._opened()

    def close(self) -> None:
        """Close the database."""
        self._base.close()

    def throw_away(self) -> None:
        """Begin an empty database in place of this one."""
        self._base.close()
        for ending in ("", "-wal", "-shm"):
            with suppress(OSError):
                self._path.with_name(self._path.name + ending).unlink(missing_ok=True)
        self._is_checked = False
        self._base = self._opened()

    def catch_up(self, path: str, log: BinaryIO) -> int:
        """Take in what stands in a log behind what is known; return how many rows there are.

        Raises IndexDamagedError where the database is damaged, or of another log.
        """
        try:
            return self._caught_up(path, log)
        except _WRONG as error:
            if not _is_of_the_medium(error):
                raise IndexDamagedError from error
        self._base.close()
        self._base = _connected(":memory:")
        return self._caught_up(path, log)

    def found(self, kinds: Collection[Kind], after: int) -> Iterator[Found]:
        """Yield where the records of some kinds with numbers after one stand, in order."""
        marks = ", ".join("?" * len(kinds))
        ask = f"""
            SELECT * FROM records WHERE kind IN ({marks}) AND number > ? ORDER BY number LIMIT ?
        """
        while True:
            try:
                rows = self._base.execute(ask, (*map(int, kinds), after, _AT_ONCE)).fetchall()
            except _WRONG as error:
                raise IndexDamagedError from error
            for kind, number, at_byte, checksum, before in rows:
                yield Found(kind, number, _mark(at_byte, checksum, before))
                after = number
            if len(rows) < _AT_ONCE:
                return

    def _opened(self) -> sqlite3.Connection:
        try:
            return _connected(str(self._path))
        except _WRONG as error:
            if not _is_of_the_medium(error):  # no database: thrown away when it is first asked
                return sqlite3.connect(self._path, isolation_level=None)
        return _connected(":memory:")

    def _caught_up(self, path: str, log: BinaryIO) -> int:
        with _transaction(self._base):
            state = self._state()
            if not _holds(log, state):
                raise IndexDamagedError
            scan = Scan(path, log, state.mark)
            sums, head = list(state.sums), state.head
            before, rows = state.mark, []
            for record in scan:
                row = _row(record, before)
                head = head or scan.mark.checksum
                sums = [a + b for a, b in zip(sums, (1, *row[:3], row[4]), strict=True)]
                before = scan.mark
                rows.append(row)
                if len(rows) == _AT_ONCE:
                    self._add(rows)
                    rows = []
            self._add(rows)
            self._base.execute("DELETE FROM state")
            told = (_FORM, head, *before, ",".join(map(str, sums)))
            self._base.execute("INSERT INTO state VALUES (?, ?, ?, ?, ?, ?)", told)
        return sums[0]

    def _add(self, rows: list[tuple[int, int, int, bytes, int]]) -> None:
        self._base.executemany("INSERT INTO records VALUES (?, ?, ?, ?, ?)", rows)

    def _state(self) -> _State:
        if not self._base.execute("SELECT name FROM sqlite_master").fetchone():
            for one in _TABLES.split(";"):
                self._base.execute(one)
            return _State(START, b"", (0, 0, 0, 0, 0))
        rows = self._base.execute("SELECT * FROM state").fetchall()
        if len(rows) != 1 or rows[0][0] != _FORM or not isinstance(rows[0][1], bytes):
            raise IndexDamagedError
        _, head, at_byte, checksum, number, sums = rows[0]
        if not self._is_checked:
            told = ",".join(map(str, self._base.execute(_SUMS).fetchone()))
            if told != sums:
                raise IndexDamagedError
            self._is_checked = True
        return _State(_mark(at_byte, checksum, number), head, tuple(map(int, sums.split(","))))


def _connected(name: str) -> sqlite3.Connection:
    base = sqlite3.connect(name, timeout=_BUSY_S, isolation_level=None)
    try:
        base.execute("PRAGMA journal_mode = WAL")
        base.execute("PRAGMA synchronous = NORMAL")
    except _WRONG:
        base.close()
        raise
    return base


@contextmanager
def _transaction(base: sqlite3.Connection) -> Iterator[None]:
    base.execute("BEGIN IMMEDIATE")
    try:
        yield
        base.execute("COMMIT")
    except BaseException:
        with suppress(*_WRONG):
            base.execute("ROLLBACK")
        raise


def _is_of_the_medium(error: Exception) -> bool:
    """Tell whether the place, not the database, is at fault: held, full or read-only."""
    return getattr(error, "sqlite_errorcode", 0) & 0xFF in _NOT_ITS_FAULT


def _holds(log: BinaryIO, state: _State) -> bool:
    """Tell whether a log is the one that was taken in, with all that was."""
    if state.mark == START:
        return True
    first = Scan("", log)
    next(iter(first), None)
    log.seek(state.mark.at_byte - SUM_BYTES)
    return first.mark.checksum == state.head and log.read(SUM_BYTES) == state.mark.checksum


def _row(record: Record, before: Mark) -> tuple[int, int, int, bytes, int]:
    return int(record.kind), record.number, before.at_byte, before.checksum, before.number


def _mark(at_byte: object, checksum: object, number: object) -> Mark:
    """Return a mark of a row; raise IndexDamagedError where its values are of no such kind."""
    if not isinstance(at_byte, int) or not isinstance(number, int) or at_byte < 0:
        raise IndexDamagedError
    if not isinstance(checksum, bytes) or len(checksum) not in (0, SUM_BYTES):
        raise IndexDamagedError
    return Mark(at_byte, checksum, number)
