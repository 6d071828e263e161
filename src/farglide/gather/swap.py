"""Swap: a pack is written beside the old one and takes its place whole, or not at all."""

import os
import re
import secrets
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from farglide.errors import InputError, SourceError
from farglide.packfile.manifest import MANIFEST, read_manifest, sha256_of
from farglide.packfile.parts import State, aside_of, state_of

_ALLOWED: Final = "a new or empty folder, or a pack as it was gathered"
_ELSEWHERE: Final = "Take it out, or choose another folder."
_LISTED: Final = 3


def pack_place(folder: Path, coming: Mapping[str, Path]) -> Path:
    """Return the folder of a pack as a full path; refuse one whose place no pack may take.

    `coming`: the files that the new pack will hold, by their names in it; what the old one holds
    beside its own parts, or changed, may only be one of these, to the byte.
    """
    try:
        place = _plain_place(folder)
        strangers = _strangers(place, coming) if place.exists() else []
    except OSError as error:
        raise InputError("--pack", folder, "a folder", f"{error.strerror}.") from error
    if strangers:
        listed = ", ".join(strangers[:_LISTED])
        more = f" and {len(strangers) - _LISTED} more" if len(strangers) > _LISTED else ""
        remedy = f"It holds {listed}{more}, not as any pack left it. {_ELSEWHERE}"
        raise InputError("--pack", folder, _ALLOWED, remedy)
    return place


@contextmanager
def staged(place: Path, coming: Mapping[str, Path]) -> Iterator[Path]:
    """Yield a new folder beside a pack's place; left without an error, it is swapped in.

    Whatever happens before, the old pack stays as it was.
    """
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        _settle(place)
        stage = _beside(place)
        stage.mkdir()
        try:
            yield stage
            _keep(stage)
            pack_place(place, coming)  # again: a person may have put something there meanwhile
            _swap(stage, place)
        finally:
            shutil.rmtree(stage, ignore_errors=True)
    except OSError as error:
        what = f"cannot be written: {error.strerror}. What was there is as it was."
        raise SourceError(str(place), "", what, "Make room, or choose another folder.") from error


def _plain_place(folder: Path) -> Path:
    """Return a folder's full path, which is neither a link nor where the command was started."""
    if folder.is_symlink():
        remedy = f"It is a link: name the folder it leads to, {folder.resolve()}."
        raise InputError("--pack", folder, "a folder", remedy)
    place = folder.resolve()
    if place.exists() and not place.is_dir():
        raise InputError("--pack", folder, "a folder", "This is a file. Choose another name.")
    if Path.cwd().is_relative_to(place):
        remedy = "You stand in it: go up to another folder first, and name it from there."
        raise InputError("--pack", folder, "a folder that can be exchanged", remedy)
    return place


def _strangers(place: Path, coming: Mapping[str, Path]) -> list[str]:
    """Return what lies in a folder that is neither of its pack nor in the new one."""
    try:
        parts = read_manifest(place).parts
    except SourceError:  # no pack: then nothing below it needs to be looked at
        return [name for name in _top(place) if not _is_coming(place, name, coming)]
    found = [path for path in sorted(place.rglob("*")) if path.is_symlink() or _is_leaf(path)]
    names = [path.relative_to(place).as_posix() for path in found]
    whole = {MANIFEST} | {n for n in names if n in parts and _is_whole(place, n, parts[n])}
    return [name for name in names if name not in whole and not _is_coming(place, name, coming)]


def _top(place: Path) -> list[str]:
    return sorted(path.name for path in place.iterdir())


def _is_leaf(path: Path) -> bool:
    """Tell whether a path is a file, or a folder that holds nothing."""
    return not path.is_dir() or not any(path.iterdir())


def _is_whole(place: Path, name: str, sha256: str) -> bool:
    return state_of(place, name, sha256) is State.WHOLE


def _is_coming(place: Path, name: str, coming: Mapping[str, Path]) -> bool:
    """Tell whether the new pack will hold just this file."""
    source, path = coming.get(name), place / name
    if source is None or path.is_symlink() or not path.is_file() or not source.is_file():
        return False
    return sha256_of(source) == sha256_of(path)


def _settle(place: Path) -> None:
    """Bring a swap that was cut short to its end, and clear what was being written beside."""
    aside = aside_of(place)
    if (aside / MANIFEST).is_file():
        aside.rename(_beside(place) if place.exists() else place)
    ours = re.compile(rf"\.{re.escape(place.name)}\.[0-9a-f]{{16}}\.part")
    for one in place.parent.iterdir():
        if ours.fullmatch(one.name) and one.is_dir() and not one.is_symlink():
            shutil.rmtree(one, ignore_errors=True)


def _beside(place: Path) -> Path:
    return place.parent / f".{place.name}.{secrets.token_hex(8)}.part"


def _swap(stage: Path, place: Path) -> None:
    """Put a whole pack in its place; between the two moves `parts.standing` finds the old one."""
    if not place.exists():
        stage.rename(place)
        _keep_names(place.parent)
        return
    aside, old = aside_of(place), _beside(place)
    place.rename(aside)
    try:
        stage.rename(place)
    except OSError:
        aside.rename(place)
        raise
    _keep_names(place.parent)
    with suppress(OSError):  # the new pack stands; the next gather clears what is left of the old
        aside.rename(old)
        shutil.rmtree(old, ignore_errors=True)


def _keep(stage: Path) -> None:
    """Have all that was written reach the disk, lest power fails between it and its name."""
    for path in [*stage.rglob("*"), stage]:
        if path.is_dir():
            _keep_names(path)
        else:
            with path.open("rb+") as file:
                os.fsync(file.fileno())


def _keep_names(folder: Path) -> None:
    with suppress(OSError):  # not every system lets a folder be opened for that
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
