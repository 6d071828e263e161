"""Out files: the folder that a command writes into, checked before the work and filled after it."""

import secrets
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryFile
from typing import Final

from farglide.errors import InputError

WRITTEN: Final = (
    "brief.html", "plan.json", "launch-area.geojson", "landing.geojson", "links.svg",
    "coverage.png", "coverage.svg", "coverage.geojson", "places.svg", "places.png",
    "places.geojson", "places.kml",
    "places.gpx", "search.geojson", "search.gpx",
)  # fmt: skip
"""The names of all files that the commands write into a folder."""


def check_out(folder: Path | None, option: str = "--out") -> None:
    """Refuse at once, not after the work, what can be no folder; `option` named it."""
    if folder is None:
        return
    try:
        is_other = folder.exists() and not folder.is_dir()
    except OSError as error:
        raise InputError(option, folder, "a folder", f"{error.strerror}.") from error
    if is_other:
        raise InputError(option, folder, "a folder", "This is a file. Choose another name.")
    try:
        with TemporaryFile(dir=_there(folder)):  # leaves nothing behind, not even an empty folder
            pass
    except OSError as error:
        remedy = f"It cannot be written: {error.strerror}. Choose another folder."
        raise InputError(option, folder, "a folder that can be written", remedy) from error


def _there(folder: Path) -> Path:
    """Return a folder, or the nearest above it that is there already."""
    return next((one for one in (folder, *folder.absolute().parents) if one.exists()), folder)


def check_apart(folder: Path | None, inputs: Iterable[str | Path]) -> None:
    """Refuse a folder in which what is written would take the place of a file that was read."""
    if folder is None:
        return
    for one in map(Path, inputs):
        is_there = one.name in WRITTEN and one.is_file()
        if is_there and (folder / one.name).resolve() == one.resolve():
            remedy = f"{one.name} there is a file of this flight. Choose another folder."
            raise InputError("--out", folder, "a folder without files of the flight", remedy)


def write_texts(texts: Mapping[str, str | bytes], folder: Path) -> None:
    """Write files by name into a folder: all whole, or none."""
    token = secrets.token_hex(8)  # so that it is nobody else's
    parts = {name: folder / f".{name}.{token}.part" for name in texts}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in texts.items():
            parts[name].write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        for name, part in parts.items():
            part.replace(folder / name)
    except OSError as error:
        for part in parts.values() if folder.is_dir() else ():
            with suppress(OSError):
                part.unlink(missing_ok=True)
        remedy = f"It cannot be written: {error.strerror}. Choose another folder."
        raise InputError("--out", folder, "a folder that can be written", remedy) from error
