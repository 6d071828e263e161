"""Opening: a log begun, or gone on with after the program or the power ended."""

import os
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from farglide.errors import InputError, SourceError
from farglide.track.journal.frame import START, Kind, Record, after, check_size, frame_of
from farglide.track.journal.head import Head, check_same_flight, head_payload
from farglide.track.journal.journal import Journal, Moment, Run
from farglide.track.journal.lock import is_locked
from farglide.track.journal.medium import BUSY, Medium, cut_off, opened, sync_folder
from farglide.track.journal.reader import Survey, survey

_TWICE: Final = "Two programs cannot write one log: end the other, or give another name."


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumed:
    """A log that is gone on with, what stood in it, and the file that its bad end went to.

    `beside` is None where the log ended with a whole record, or nothing can be written yet.
    """

    journal: Journal
    found: Survey
    beside: Path | None


def begin(path: Path, head: Head, when: Moment, run: Run | None = None) -> Journal:
    """Return a new log with its head on the medium.

    Raises InputError where something has this name already, or nothing can be written there: that
    is said before the balloon is up.
    """
    payload = head_payload(head)
    check_size(payload)
    record = Record(kind=Kind.HEAD, number=0, **when._asdict(), payload=payload)
    frame = frame_of(record, START)
    try:
        handle = opened(path, os.O_CREAT | os.O_EXCL)
    except FileExistsError:
        raise _is_there(path) from None
    except OSError as error:
        raise _unwritable(path, error) from error
    try:
        if not is_locked(handle):
            raise _is_busy(path)
        medium = Medium(path, handle, START, None)
        medium.write(record)
        os.fsync(handle)
    except OSError as error:
        os.close(handle)
        with suppress(OSError):
            path.unlink()
        raise _unwritable(path, error) from error
    sync_folder(path.parent)
    medium.synced = after(START, frame, 0)
    return Journal(medium, record, run)


def resume(path: Path, head: Head, run: Run | None = None) -> Resumed:
    """Return a log to go on with, its numbers following the last whole record.

    The time of the ride goes on from that of `journal.last`: sittings are laid end to end.
    What stands behind that record is moved into a file beside. Where the medium is read-only now,
    the journal has an alarm from the beginning and keeps what it can in memory.
    Raises SourceError where it is no log or one of another flight, InputError where another process
    writes it.
    """
    handle, why = _handle(path)
    try:
        found = survey(path)
        check_same_flight(str(path), found.head, head)
        tail_at = found.mark.at_byte if found.n_left else None
        beside = None
        if tail_at is not None and handle is not None:
            try:
                beside, tail_at = cut_off(path, handle, tail_at), None
            except OSError as error:
                why = error.strerror or str(error)
    except SourceError:
        if handle is not None:
            os.close(handle)
        raise
    journal = Journal(Medium(path, handle, found.mark, tail_at), found.last, run)
    if why:
        journal.unkept(why)
    return Resumed(journal=journal, found=found, beside=beside)


def _handle(path: Path) -> tuple[int | None, str]:
    """Return the locked handle of a log, or none and why."""
    try:
        handle = opened(path, 0)
    except OSError as error:
        return None, error.strerror or str(error)
    try:
        if is_locked(handle):
            return handle, ""
    except OSError as error:
        os.close(handle)
        return None, error.strerror or str(error)
    os.close(handle)
    raise _is_busy(path)


def _is_busy(path: Path) -> InputError:
    return InputError(
        "the log", f"{path}, and {BUSY}", "a log that no other program writes", _TWICE
    )


def _is_there(path: Path) -> InputError:
    try:
        found = survey(path)
    except SourceError:
        remedy = "It is left alone. Give the log another name."
        return InputError("the log", path, "a name that nothing has yet", remedy)
    state = "a finished log" if found.is_finished else "an unfinished log"
    told = f"{path}, {state} of {found.n_records} records"
    return InputError("the log", told, "a new name", "Resume it, or give another name.")


def _unwritable(path: Path, error: OSError) -> InputError:
    told = f"{path}, which cannot be written ({error.strerror})"
    return InputError("the log", told, "a place that can be written", "Choose another place.")
