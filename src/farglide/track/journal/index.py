"""Index: a database beside the log that finds its records; made from the log, never the truth."""

from collections.abc import Collection, Iterator
from pathlib import Path
from typing import Final, Self

from farglide.errors import SourceError
from farglide.track.journal.fixes import fixes_of
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.reader import Scan, open_log
from farglide.track.journal.rows import Found, IndexDamagedError, Rows
from farglide.track.reports import Fix

_AGAIN: Final = "changes or is damaged while it is read"


class Index:
    """The records of one log by kind and time.

    What is found is read from the log and checked there, so that no damage of the database can
    change an answer: a database that is stale is caught up, one of another log or damaged is
    thrown away and made anew, and where none can be kept it is made in memory.
    It is asked on the thread that made it. Raises SourceError where the log cannot be read.
    """

    def __init__(self, log: Path) -> None:
        self._log = log
        with open_log(log):  # without a log, no database beside it
            self._rows = Rows(beside(log))
        try:
            self.catch_up()
        except BaseException:
            self._rows.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._rows.close()

    def catch_up(self) -> int:
        """Take in what was logged since; return how many records the index holds."""
        with open_log(self._log) as (_, scan):
            try:
                return self._rows.catch_up(str(self._log), scan.file)
            except IndexDamagedError:
                self._rows.throw_away()
                return self._rows.catch_up(str(self._log), scan.file)

    def records(
        self, kinds: Collection[Kind], since_s: float = -1e15, until_s: float = 1e15
    ) -> Iterator[Record]:
        """Yield the records of some kinds in order, from one time of the ride to another.

        The times are monotonic, since the ride began: the clock of the day may have been set.
        """
        after, is_new = -1, False
        with open_log(self._log) as (_, scan):
            while True:
                try:
                    for found in self._rows.found(kinds, after):
                        record = _record(str(self._log), scan, found)
                        if since_s <= record.monotonic_s <= until_s:
                            yield record
                        after = record.number
                except IndexDamagedError:
                    if is_new:
                        remedy = "Look at the medium it stands on."
                        raise SourceError(str(self._log), "", f"{_AGAIN}.", remedy) from None
                    is_new = True
                    self._rows.throw_away()
                    self._rows.catch_up(str(self._log), scan.file)
                else:
                    return

    def fixes(self, feed: str | None = None) -> Iterator[Fix]:
        """Return the fixes of the log, or of one feed, in the order in which they came."""
        return fixes_of(self._log, self.records((Kind.FIX,)), feed)


def beside(log: Path) -> Path:
    """Return where the index of a log stands."""
    return log.with_name(f"{log.name}.index")


def _record(path: str, scan: Scan, found: Found) -> Record:
    """Return the record at a place, checked; raise IndexDamagedError where it is not there."""
    record = next(iter(Scan(path, scan.file, found.before)), None)
    if record is None or (record.number, record.kind) != (found.number, found.kind):
        raise IndexDamagedError
    return record
