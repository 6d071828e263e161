"""Medium: the file that a log stands in, which may be full, read-only, or gone and back."""

import errno
import os
from contextlib import suppress
from itertools import count
from pathlib import Path
from typing import Final, NamedTuple

from farglide.errors import SourceError
from farglide.track.journal.frame import SUM_BYTES, Mark, Record, after, frame_of
from farglide.track.journal.lock import is_locked
from farglide.track.journal.reader import Scan

BUSY: Final = "another process writes this log"
STRANGE: Final = "another file stands in its place now"
_FULL: Final = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_CHUNK_BYTES: Final = 1 << 20
_BINARY: Final = getattr(os, "O_BINARY", 0)  # of Windows, which would change ends of lines


class Sync(NamedTuple):
    """One wait for the medium: a handle of the file, what it holds, how often it was opened."""

    path: Path
    handle: int
    mark: Mark
    n_opened: int

    def failure(self) -> OSError | None:
        """Return nothing once the medium has all of it, else why it has not; may take long.

        A file that has lost its name takes all that is written, and nobody finds it again.
        """
        try:
            os.fsync(self.handle)
            if not os.path.samestat(self.path.stat(), os.fstat(self.handle)):
                return OSError(errno.ESTALE, STRANGE)
        except OSError as error:
            return error
        finally:
            os.close(self.handle)
        return None


class Medium:
    """An open log: `mark` behind what the system has, `synced` behind what a power cut leaves.

    `write` and `make_ready` raise OSError where the medium takes nothing; they can be asked again.
    """

    def __init__(self, path: Path, handle: int | None, mark: Mark, tail_at: int | None) -> None:
        """`handle` is None where it cannot be written; `tail_at` where bytes are to be cut off."""
        self.path, self.mark, self.synced = path, mark, mark
        self._handle, self._tail_at, self._n_opened = handle, tail_at, 0

    def write(self, record: Record) -> None:
        """Hand a record to the system, behind the last."""
        frame = frame_of(record, self.mark)
        _write_at(self._open_handle(), self.mark.at_byte, frame)
        self.mark = after(self.mark, frame, record.number)

    def failed(self, error: OSError) -> bool:
        """Let go of a file that took no record; a full one is kept, and False returned."""
        if error.errno in _FULL:
            return False
        self.let_go()
        return True

    def let_go(self) -> None:
        """Close the file, and go back to what is on the medium: the rest is to be written again.

        A system that could not write a page forgets it, and its next sync would not tell.
        """
        self._close()
        self.mark = self.synced

    def to_sync(self) -> "Sync":
        """Return what a sync takes: a handle of its own, which it closes."""
        return Sync(self.path, os.dup(self._open_handle()), self.mark, self._n_opened)

    def synchronised(self, sync: "Sync") -> bool:
        """Take note that a sync ended well; False where the file was let go meanwhile."""
        if sync.n_opened != self._n_opened or self._handle is None:
            return False
        self.synced = sync.mark
        return True

    def make_ready(self, newest: int) -> None:
        """Open the file again where it was let go, and cut off what is not of it.

        `newest` is the number of the last record that was made: what is beyond is of others.
        """
        if self._handle is None:
            handle = _locked(self.path)
            try:
                _check_is_ours(self.path, handle, self.mark, newest)
            except BaseException:
                os.close(handle)
                raise
            self._handle = handle
            self._n_opened += 1
        if self._tail_at is not None:
            cut_off(self.path, self._handle, self._tail_at)
            self._tail_at = None

    def shut(self) -> None:
        """Close the file, cut to its last whole record where that can be."""
        if self._handle is not None and self._tail_at is None:
            with suppress(OSError):
                os.ftruncate(self._handle, self.mark.at_byte)
        self._close()

    def _close(self) -> None:
        handle, self._handle = self._handle, None
        if handle is not None:
            with suppress(OSError):
                os.close(handle)

    def _open_handle(self) -> int:
        if self._handle is None:
            raise OSError(errno.ENODEV, os.strerror(errno.ENODEV))
        return self._handle


def cut_off(path: Path, handle: int, at_byte: int) -> Path | None:
    """Move all behind a byte into a file beside and return that; nothing where there is nothing.

    Never before the copy is on the medium, and never over a file that is there.
    """
    n_left = os.fstat(handle).st_size - at_byte
    if n_left <= 0:
        return None
    beside = _new_beside(path, at_byte)
    try:
        _copy_from(handle, at_byte, beside)
    except OSError:
        with suppress(OSError):
            beside.unlink(missing_ok=True)  # else each try would leave a part of it
        raise
    os.ftruncate(handle, at_byte)
    os.fsync(handle)
    return beside


def _copy_from(handle: int, at_byte: int, beside: Path) -> None:
    with beside.open("xb") as file:
        os.lseek(handle, at_byte, os.SEEK_SET)
        while chunk := os.read(handle, _CHUNK_BYTES):
            file.write(chunk)
        file.flush()
        os.fsync(file.fileno())


def opened(path: Path, flags: int) -> int:
    """Return the handle of a file opened for reading and writing."""
    return os.open(path, os.O_RDWR | flags | _BINARY, 0o644)


def sync_folder(folder: Path) -> None:
    """Wait until the name of a new file is on the medium, where the system can say so."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _locked(path: Path) -> int:
    handle = opened(path, 0)
    try:
        if not is_locked(handle):
            raise OSError(errno.EBUSY, BUSY)
    except OSError:
        os.close(handle)
        raise
    return handle


def _check_is_ours(path: Path, handle: int, mark: Mark, newest: int) -> None:
    """Raise OSError where a file that was opened again is another, or others wrote on."""
    os.lseek(handle, mark.at_byte - SUM_BYTES, os.SEEK_SET)
    if os.read(handle, SUM_BYTES) != mark.checksum:
        raise OSError(errno.ESTALE, STRANGE)
    with path.open("rb") as file:
        try:
            is_others = any(one.number > newest for one in Scan(str(path), file, mark))
        except SourceError:
            is_others = True
    if is_others:
        raise OSError(errno.EBUSY, BUSY)


def _new_beside(path: Path, at_byte: int) -> Path:
    names = (f"{path.name}.cut-{at_byte}" + (f"-{n}" if n else "") for n in count())
    return next(one for name in names if not (one := path.with_name(name)).exists())


def _write_at(handle: int, at_byte: int, data: bytes) -> None:
    """Write bytes at a place: where only some were taken, the next try writes over them."""
    os.lseek(handle, at_byte, os.SEEK_SET)
    left = memoryview(data)
    while left:
        left = left[os.write(handle, left) :]
