"""Media that fail: what the system says to whoever writes one file, or waits for it."""

import errno
import os
from pathlib import Path

import pytest


class Faulty:
    """Makes the system refuse what is asked of one file, as long as `code` is set.

    `room_bytes` are still taken of a write, as of a disk that becomes full in the midst of one.
    """

    def __init__(self, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.path, self.code, self.room_bytes, self.n_asked = path, 0, 0, 0
        self.is_sync_only = False
        self._write, self._fsync, self._open = os.write, os.fsync, os.open
        monkeypatch.setattr(os, "write", self.write)
        monkeypatch.setattr(os, "fsync", self.fsync)
        monkeypatch.setattr(os, "open", self.open)

    def write(self, handle: int, data: bytes) -> int:
        if self._is_out(handle) and not self.is_sync_only:
            if self.room_bytes:
                n, self.room_bytes = min(self.room_bytes, len(data)), 0
                return self._write(handle, data[:n])
            self._refuse()
        return self._write(handle, data)

    def fsync(self, handle: int) -> None:
        is_full = self.code == errno.ENOSPC and not self.is_sync_only  # what it has, it keeps
        if self._is_out(handle) and not is_full:
            self._refuse()
        self._fsync(handle)

    def open(self, path: object, flags: int, *mode: int, **more: int) -> int:
        is_refused = self.code not in (0, errno.ENOSPC) and not self.is_sync_only
        if flags & os.O_RDWR and is_refused and str(path) == str(self.path):
            self._refuse()
        return self._open(path, flags, *mode, **more)  # type: ignore[arg-type]

    def _is_out(self, handle: int) -> bool:
        return bool(self.code) and os.path.samestat(os.fstat(handle), self.path.stat())

    def _refuse(self) -> None:
        self.n_asked += 1
        raise OSError(self.code, os.strerror(self.code))
