"""Reader: the records of a log in order, until the first that does not check."""

from collections.abc import Iterator
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
_KINDS: Final = {int(kind): kind for kind in Kind}


class Scan:
    """The records of an open file from a mark on, one in memory at a time.

    `mark` stands behind the last record that was given out. Once it stops, `why` says what the
    bytes behind it are: nothing where none are left, `CUT` or `DAMAGED`.
    Raises SourceError at a whole record of a kind that is not known: a newer farglide wrote it.
    """

    def __init__(self, path: str, file: BinaryIO, since: Mark = START) -> None:
        self.mark, self.why = since, ""
        self.file, self._path = file, path
        file.seek(since.at_byte)

    def __iter__(self) -> Iterator[Record]:
        while (record := self._next()) is not None:
            yield record

    def _next(self) -> Record | None:
        head = self._read(HEAD_BYTES)
        if len(head) < HEAD_BYTES:
            self.why = CUT if head else ""
            return None
        fields = fields_of(head)
        if fields.n_bytes > MOST_BYTES:
            self.why = DAMAGED
            return None
        rest = self._read(fields.n_bytes + SUM_BYTES)
        if len(rest) < fields.n_bytes + SUM_BYTES:
            self.why = CUT
            return None
        payload, checksum = rest[:-SUM_BYTES], rest[-SUM_BYTES:]
        is_next = fields.number > self.mark.number
        if not is_next or checksum_of(head + payload, self.mark.checksum) != checksum:
            self.why = DAMAGED
            return None
        kind = self._kind(fields.kind, fields.number)
        at_byte = self.mark.at_byte + HEAD_BYTES + len(rest)
        self.mark = Mark(at_byte, checksum, fields.number)
        return Record(
            kind=kind,
            number=fields.number,
            monotonic_s=fields.monotonic_s,
            utc_s=fields.utc_s,
            payload=payload,
        )

    def _read(self, n_bytes: int) -> bytes:
        try:
            return self.file.read(n_bytes)
        except OSError as error:
            raise _unread(self._path, error) from error

    def _kind(self, kind: int, number: int) -> Kind:
        if kind not in _KINDS:
            what = f"is of kind {kind}, which this farglide does not know."
            remedy = "Read the log with the farglide that wrote it."
            raise SourceError(self._path, f"record {number}", what, remedy)
        return _KINDS[kind]


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
    n_records, began, last = 0, None, None
    with open_log(path) as (head, scan):
        for record in scan:
            began, last = began or record, record
            n_records += 1
        n_left = path.stat().st_size - scan.mark.at_byte
    if began is None or last is None:  # it was there when its head was read
        raise SourceError(str(path), "", "changed while it was read.", "Try again.")
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


def is_log(path: Path) -> bool:
    """Tell whether a file begins as a log does, whole or not."""
    with suppress(OSError), path.open("rb") as file:
        head = file.read(_TOLD_AT + len(_TOLD))
        return head[4:5] == bytes([Kind.HEAD]) and head[_TOLD_AT:] == _TOLD
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
