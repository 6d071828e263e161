"""Fixes: where the log says that each feed was."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from farglide.errors import SourceError
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import fix_of
from farglide.track.journal.reader import open_log
from farglide.track.reports import Fix


def log_fixes(log: Path) -> Iterator[Fix]:
    """Yield all fixes of a log in the order in which they came, read once from its beginning."""
    with open_log(log) as (_, scan):
        yield from fixes_of(log, scan.of((Kind.FIX,)))


def fixes_of(log: Path, records: Iterable[Record], feed: str | None = None) -> Iterator[Fix]:
    """Yield the fixes among records, of one feed or of all.

    One whose sender says no time has that of this machine's clock when it came. Raises SourceError.
    """
    for record in records:
        if record.kind is not Kind.FIX:
            continue
        try:
            fix = fix_of(record)
        except ValueError as error:
            raise SourceError(str(log), f"record {record.number}", f"{error}.") from None
        if feed is None or fix.feed == feed:
            yield fix
