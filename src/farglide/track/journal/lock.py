"""Lock: one process writes a log; the system lets go when that ends, however it ends."""

import sys

if sys.platform == "win32":
    import msvcrt
    import os

    _FAR_BYTE = 1 << 40  # behind all that is written: a byte held there is refused to nobody's read

    def is_locked(handle: int) -> bool:
        """Tell whether an open file is now held by this process alone, else by another."""
        os.lseek(handle, _FAR_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def is_locked(handle: int) -> bool:
        """Tell whether an open file is now held by this process alone, else by another.

        Raises OSError where the medium knows no locks.
        """
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
