"""Reader: the records of a log in order, until the first that does not check."""

import os
from collections.abc import Collection, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from farglide.errors import SourceError
from farglide.track.journal.frame import (
    HEAD_BYTES,
    MOST_BYTES,
    START,
    SUM_BYTES,
    Kind,
    Mark,
    Record,
    checksum_of,
    fields_of,
)
from farglide.track.journal.head import FORM, Head, head_of

CUT: Final = "ends in the middle of a record"
DAMAGED: Final = "does not check"
_TOLD: Final = f'{{"form":"{FORM.rpartition(" ")[0]} '.encode()
_TOLD_AT: Final = HEAD_BYTES
_KIND_AT: Final = 4  # the byte that tells the kind, behind the length
_KINDS: Final = {int(kind): kind for kind in Kind}


class Scan:
    """The records of an open file from a mark on, one in memory at a time.

    `mark` stands behind the last record that was given out. Once it stops, `why` says what the
    bytes behind it are: nothing where none are left, `CUT` or `DAMAGED`.
    Raises SourceError at a whole record of a kind that is not known: a newer farglide wrote it.
    """

    def __init__(self, path: str, file: BinaryIO, since: Mark = START) -> None:
        self.why, self.file = "", file
        self._path = path
        self._at_byte, self._checksum, self._number = since
        file.seek(since.at_byte)

    @property
    def mark(self) -> Mark:
        """Return the mark behind the last record."""
        return Mark(self._at_byte, self._checksum, self._number)

    def __iter__(self) -> Iterator[Record]:
        for head, rest in self.frames():
            yield self.record(head, rest)

    def of(self, kinds: Collection[Kind]) -> Iterator[Record]:
        """Yield the records of some kinds; the others are checked, and cost little more."""
        left = [int(kind) for kind in Kind if kind not in kinds]
        for head, rest in self.frames():
            if head[_KIND_AT] not in left:
                yield self.record(head, rest)

    def frames(self) -> Iterator[tuple[bytes, bytes]]:
        """Yield the bytes of each record, checked: what stands before its payload, and the rest."""
        while head := self._read(HEAD_BYTES):
            if len(head) < HEAD_BYTES:
                self.why = CUT
                return
            n_bytes, _, number, _, _ = fields_of(head)
            if n_bytes > MOST_BYTES or number <= self._number:
                self.why = DAMAGED
                return
            rest = self._read(n_bytes + SUM_BYTES)
            if len(rest) < n_bytes + SUM_BYTES:
                self.why = CUT
                return
            checksum = rest[n_bytes:]
            if checksum_of(head + rest[:n_bytes], self._checksum) != checksum:
                self.why = DAMAGED
                return
            self._at_byte += HEAD_BYTES + len(rest)
            self._checksum, self._number = checksum, number
            yield head, rest

    def record(self, head: bytes, rest: bytes) -> Record:
        """Return the record of its bytes; raise SourceError at a kind that is not known."""
        _, kind, number, monotonic_s, utc_s = fields_of(head)
        if kind not in _KINDS:
            what = f"is of kind {kind}, which this farglide does not know."
            remedy = "Read the log with the farglide that wrote it."
            raise SourceError(self._path, f"record {number}", what, remedy)
        return Record(
            kind=_KINDS[kind],
            number=number,
            monotonic_s=monotonic_s,
            utc_s=utc_s,
            payload=rest[:-SUM_BYTES],
        )

    def _read(self, n_bytes: int) -> bytes:
        try:
            return self.file.read(n_bytes)
        except OSError as error:
            raise _unread(self._path, error) from error


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """What stands in a log: `last` is its last whole record, the head where there is no other.

    `n_lost` counts numbers that are missing, of records that never reached the medium; `n_left`
    bytes behind the mark do not belong to a whole record, for the reason `why`.
    """

    head: Head
    began: Record
    last: Record
    mark: Mark
    n_records: int
    n_lost: int
    n_left: int
    why: str

    @property
    def is_finished(self) -> bool:
        """Tell whether the crew ended the ride, and nothing follows."""
        return self.last.kind is Kind.END and not self.n_left


@contextmanager
def open_log(path: Path) -> Iterator[tuple[Head, Scan]]:
    """Return the head of a log and its records, the head first; raise SourceError without one."""
    try:
        file = path.open("rb")
    except OSError as error:
        raise _unread(str(path), error) from error
    with file:
        head = head_of(str(path), first_record(str(path), file))
        yield head, Scan(str(path), file)


def survey(path: Path) -> Survey:
    """Return what stands in a log, all of it read and checked; raise SourceError as `open_log`."""
    with open_log(path) as (head, scan):
        n_records, began, last = _counted(scan)
        n_left = os.fstat(scan.file.fileno()).st_size - scan.mark.at_byte
    return Survey(
        head=head,
        began=began,
        last=last,
        mark=scan.mark,
        n_records=n_records,
        n_lost=last.number + 1 - n_records,
        n_left=n_left,
        why=scan.why,
    )


def _counted(scan: Scan) -> tuple[int, Record, Record]:
    """Return how many records a log has, its first, which is there, and its last."""
    frames = scan.frames()
    first = last = next(frames)
    n_records = 1
    for last in frames:
        n_records += 1
        if last[0][_KIND_AT] not in _KINDS:
            break  # told when it is made a record
    return n_records, scan.record(*first), scan.record(*last)


def is_log(path: Path) -> bool:
    """Tell whether a file begins as a log does, whole or not."""
    with suppress(OSError), path.open("rb") as file:
        head = file.read(_TOLD_AT + len(_TOLD))
        return head[_KIND_AT : _KIND_AT + 1] == bytes([Kind.HEAD]) and head[_TOLD_AT:] == _TOLD
    return False


def left_words(survey: Survey) -> str:
    """Return a sentence on the bytes behind the last whole record; nothing where there are none."""
    if not survey.n_left:
        return ""
    plural = "s" if survey.n_left != 1 else ""
    at = f"after byte {survey.mark.at_byte}"
    return f"{survey.n_left} byte{plural} {at} are left over: the log {survey.why} there."


def first_record(path: str, file: BinaryIO) -> Record:
    """Return the record that an open log begins with; raise SourceError where it has no head."""
    scan = Scan(path, file)
    record = next(iter(scan), None)
    if record is not None and record.kind is Kind.HEAD:
        return record
    if record is None and scan.why != DAMAGED:
        what, remedy = "ends before its head: nothing was logged.", "Begin a log of another name."
        raise SourceError(path, "", what, remedy)
    raise SourceError(path, "", "is no log of a ride, or its head is damaged.", "Is it the file?")


def _unread(path: str, error: OSError) -> SourceError:
    what = f"cannot be read: {error.strerror}."
    return SourceError(path, "", what, "Look at the name and who may read it.")
