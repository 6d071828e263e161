"""Manifest: which parts a pack has, the checksum of each, and what the flight file calls them."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Final

from farglide.errors import SourceError

MANIFEST: Final = "pack.json"
FLIGHT: Final = "flight.toml"
WINDS: Final = "winds.json"
OWN: Final = (MANIFEST, FLIGHT, WINDS)
"""The files that every pack has."""
_FORM: Final = "farglide pack 2"
_LARGEST_BYTES: Final = 1_000_000
_AGAIN: Final = "Gather it again, into another folder."
_CHUNK_BYTES: Final = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """The parts of a pack.

    `parts`: the checksum of each by its name, a path inside the pack with `/` between folders;
    `files`: where the pack keeps a file, by the name that the flight file gives it.
    """

    parts: Mapping[str, str]
    files: Mapping[str, str]


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file, as hexadecimal digits."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            digest.update(chunk)
    return digest.hexdigest()


def manifest_text(manifest: Manifest) -> str:
    """Return a manifest as it is written, with its own checksum: no byte of it may change."""
    body = {"form": _FORM, "parts": dict(manifest.parts), "files": dict(manifest.files)}
    own = hashlib.sha256(_written(body).encode()).hexdigest()
    return _written({**body, "sha256": own}) + "\n"


def read_manifest(folder: Path) -> Manifest:
    """Return the manifest of a pack, found unchanged; raise `SourceError` where it is not."""
    path = folder / MANIFEST
    try:
        if path.is_symlink() or path.stat().st_size > _LARGEST_BYTES:
            raise SourceError(str(path), "", "is no manifest of a pack.", _AGAIN)
        data = path.read_bytes()
    except FileNotFoundError:
        raise _no_pack(folder) from None
    except OSError as error:
        what = f"cannot be read: {error.strerror}."
        raise SourceError(str(path), "", what, "Look at who may read it.") from error
    try:
        return _manifest_of(data)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as error:
        raise SourceError(str(path), "", f"is damaged: {error}.", _AGAIN) from error


def is_inside(name: str) -> bool:
    """Tell whether a name is that of a file below the pack's folder, and of no other place.

    >>> [is_inside(name) for name in ("maps/ground.tif", "../ground.tif", "/ground.tif", "C:\\\\a")]
    [True, False, False, False]
    """
    plain = PurePosixPath(name)
    steps = plain.parts
    return bool(steps) and str(plain) == name and not (
        plain.is_absolute() or ".." in steps or any(c in name for c in "\\:\0")
    )  # fmt: skip


def _manifest_of(data: bytes) -> Manifest:
    document = json.loads(data.decode("utf-8"))
    if not isinstance(document, dict) or document.get("form") != _FORM:
        raise ValueError(f"its form is not {_FORM!r}")
    parts, files = document["parts"], document["files"]
    manifest = Manifest(parts=dict(parts), files=dict(files))
    if manifest_text(manifest).encode() != data:  # each byte counts, and its own checksum
        raise ValueError("its checksum differs")
    strange = [name for name in parts if not is_inside(name)]
    strange += [name for name in files.values() if name not in parts]
    if strange or not {FLIGHT, WINDS} <= parts.keys():
        raise ValueError(f"it names {strange[0]!r}" if strange else "it lacks a part")
    return manifest


def _no_pack(folder: Path) -> SourceError:
    if (folder / WINDS).is_file() and (folder / FLIGHT).is_file():
        what = "was gathered by an older version, without checksums."
        return SourceError(str(folder), "", what, _AGAIN)
    remedy = "Make one with: farglide gather FILE --pack DIR"
    return SourceError(str(folder), "", "holds no pack.", remedy)


def _written(document: Mapping[str, object]) -> str:
    return json.dumps(document, indent=1, sort_keys=True, ensure_ascii=True)
