"""The folder where compiled kernels are kept; asking for it does not wake the compiler.

numba's own cache looks only at the file a kernel stands in, not at the kernels it calls in other
files: an edit there would silently give the old result. The folder is therefore named by a hash of
every source file that may hold a kernel.
"""

import atexit
import hashlib
import os
import shutil
import sys
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Final

_PACKAGE: Final = Path(__file__).parent
_KERNEL_SOURCES: Final = ("constants.py", "kernel.py", "fall.py")
_MARK: Final = "all-compiled"
RIDE_MARK: Final = "ride-compiled"
"""That what a ride needs beside a plan is compiled too."""
_N_KEPT: Final = 4
_KERNEL_FOLDERS: Final = ("earth", "air", "balloon", "glider", "power", "radio", "atlas", "sim")


def sources_hash() -> str:
    """Return a short hash of all sources that may hold kernels, the Python and the package path."""
    digest = hashlib.sha256(f"{sys.version}{_PACKAGE}".encode())
    files = [_PACKAGE / name for name in _KERNEL_SOURCES]
    for folder in _KERNEL_FOLDERS:
        files += sorted((_PACKAGE / folder).rglob("*.py"))
    for file in files:
        if file.exists():
            place = file.relative_to(_PACKAGE).as_posix()
            digest.update(place.encode() + b"\0" + file.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def cache_folder() -> Path:
    """Return the folder of compiled kernels: below FARGLIDE_CACHE, XDG_CACHE_HOME or ~/.cache.

    Where it can be neither written nor read whole, one for this run alone takes its place.
    """
    try:
        folder = _wanted_folder()
        if _is_usable(folder):
            return folder
    except (OSError, RuntimeError):  # RuntimeError: nobody's home
        pass
    return _temporary_root() / _tail()


def is_warm(mark: str = _MARK) -> bool:
    """Tell whether what a plan needs, or what a mark names, was compiled before.

    Of just these sources.
    """
    return (cache_folder() / mark).exists()


def mark_warm(mark: str = _MARK) -> None:
    """Remember that kernels of these sources are compiled, and forget the oldest sources' own.

    The folders of the few sources compiled last stay: somebody may still be running those.
    """
    folder = cache_folder()
    with suppress(OSError):  # a full disk: they are compiled again next time
        folder.mkdir(parents=True, exist_ok=True)
        (folder / mark).touch()
        marks = sorted(folder.parent.glob(f"*/{_MARK}"), key=lambda one: one.stat().st_mtime)
        for one in marks[:-_N_KEPT]:
            shutil.rmtree(one.parent, ignore_errors=True)


def _wanted_folder() -> Path:
    root = os.environ.get("FARGLIDE_CACHE") or os.environ.get("XDG_CACHE_HOME")
    return (Path(root) if root else Path.home() / ".cache") / _tail()


def _tail() -> Path:
    return Path("farglide") / "kernels" / sources_hash()


def _is_usable(folder: Path) -> bool:
    """Tell whether kernels can be kept in a folder, or are all there to be read."""
    if os.access(folder / _MARK, os.R_OK):
        return True
    folder.mkdir(parents=True, exist_ok=True)
    return os.access(folder, os.R_OK | os.W_OK | os.X_OK)


def _temporary_root() -> Path:
    """Return a folder that this run and what it starts share, and that is removed at its end.

    Nobody else may write there: what is kept is code.
    """
    root = tempfile.mkdtemp(prefix="farglide-")
    atexit.register(shutil.rmtree, root, ignore_errors=True)
    os.environ["FARGLIDE_CACHE"] = root
    return Path(root)
