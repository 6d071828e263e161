"""Out files: the folder that a command writes into, checked before the work and filled after it."""

import secrets
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryFile
from typing import Final

from farglide.errors import InputError
from farglide.packfile.manifest import FLIGHT, MANIFEST, WINDS

WRITTEN: Final = (
    "brief.html", "plan.json", "launch-area.geojson", "landing.geojson", "links.svg",
    "coverage.png", "coverage.svg", "coverage.geojson", "places.svg", "places.png",
    "places.geojson", "places.kml",
    "places.gpx", "search.geojson", "search.gpx", "review.html", "review.json", "next.toml",
    "compare.html", "compare.csv", "compare.json", "compare.geojson",
)  # fmt: skip
"""The names of all files that the commands write into a folder."""


def check_out(folder: Path | None, option: str = "--out") -> None:
    """Refuse at once, not after the work, what can be no folder; `option` named it."""
    if folder is None:
        return
    try:
        for allowed, remedy in _unfit(folder):
            raise InputError(option, folder, allowed, remedy)
    except OSError as error:
        raise InputError(option, folder, "a folder", f"{error.strerror}.") from error
    try:
        with TemporaryFile(dir=_there(folder)):  # leaves nothing behind, not even an empty folder
            pass
    except OSError as error:
        remedy = f"It cannot be written: {error.strerror}. Choose another folder."
        raise InputError(option, folder, "a folder that can be written", remedy) from error


def _unfit(folder: Path) -> Iterator[tuple[str, str]]:
    """Yield why nothing can, or may, be written into a folder: what is allowed, what to do."""
    every = (folder, *folder.absolute().parents)
    if folder.exists() and not folder.is_dir():
        yield "a folder", "This is a file. Choose another name."
    for one in every:
        if one.is_symlink() and not one.exists():
            yield "a folder", f"{one} is a link to what is not there. Choose another folder."
    for one in (folder.resolve(), *folder.resolve().parents):
        if _is_pack(one):
            yield "a folder that is no pack", f"{one} is one. Choose a folder beside it."
    for name in WRITTEN:
        if (folder / name).is_dir():
            remedy = f"{name} in it is a folder. Choose another folder."
            yield "a folder that takes files", remedy


def _is_pack(folder: Path) -> bool:
    """Tell whether a folder is a pack, be it damaged or of an older version."""
    return (folder / FLIGHT).is_file() and any(
        (folder / name).is_file() for name in (MANIFEST, WINDS)
    )


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
