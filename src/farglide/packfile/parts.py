"""Parts of a pack on disk: each a plain file inside it, and whether it is as it was gathered."""

from collections.abc import Iterator
from enum import Enum
from pathlib import Path

from farglide.errors import SourceError
from farglide.packfile.grids import ARRAY
from farglide.packfile.manifest import MANIFEST, Manifest, sha256_of


class State(Enum):
    """How a part is found."""

    WHOLE = "as gathered"
    CHANGED = "changed since it was gathered"
    MISSING = "missing"
    FOREIGN = "a link, or no plain file"


def aside_of(folder: Path) -> Path:
    """Return where a pack stands for the moment in which another takes its place."""
    return folder.parent / f".{folder.name}.old"


def standing(folder: Path) -> Path:
    """Return where a pack stands: in its folder, or aside if the exchange was cut short."""
    aside = aside_of(folder.absolute())
    is_cut_short = not folder.exists() and (aside / MANIFEST).is_file()
    return aside if is_cut_short else folder


def state_of(folder: Path, name: str, sha256: str | None) -> State:
    """Return how a part of a pack is found; without a checksum, whether it is there.

    Raises `SourceError` where it cannot be read.
    """
    path = folder / name
    try:
        if any(step.is_symlink() for step in _steps(folder, name)):
            return State.FOREIGN
        if not path.exists():
            return State.MISSING
        if not path.is_file():
            return State.FOREIGN
        same = sha256 is None or sha256_of(path) == sha256
        return State.WHOLE if same else State.CHANGED
    except OSError as error:
        what = f"cannot be read: {error.strerror}."
        raise SourceError(str(path), "", what, "Look at who may read it.") from error


def states_of(folder: Path, manifest: Manifest, *, all_read: bool = True) -> dict[str, State]:
    """Return how each part of a pack is found, by its name.

    Unless all are to be read, the values of grids are only looked for: they are verified where
    they are read.
    """
    return {
        name: state_of(folder, name, None if name.endswith(ARRAY) and not all_read else sha256)
        for name, sha256 in manifest.parts.items()
    }


def _steps(folder: Path, name: str) -> Iterator[Path]:
    """Yield a part and every folder on the way to it, inside the pack."""
    path = folder / name
    while path != folder:
        yield path
        path = path.parent
