"""Record: where each fetched file comes from, when, under which licence, and its checksum."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from farglide.earth.clock import local_datetime
from farglide.gather.fetch.download import disk_errors
from farglide.gather.fetch.source import Source

RECORD: Final = "origin.json"
_FORM: Final = "farglide origin 1"
_LARGEST_BYTES: Final = 20_000_000
_CHUNK_BYTES: Final = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Fetched:
    """One file as it came."""

    address: str
    fetched_t_s: float
    step_h: int
    member: str
    n_bytes: int
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """The origin of the files in one folder, by their names; of a forecast all of one run."""

    source: str
    producer: str
    product: str
    licence: str
    attribution: str
    run_t_s: float | None
    parts: Mapping[str, Fetched]

    def with_part(self, name: str, fetched: Fetched) -> "Record":
        """Return the record with one more file."""
        return replace(self, parts={**self.parts, name: fetched})


def record_of(source: Source, run_t_s: float | None) -> Record:
    """Return the record of a run, or of what has none, of which nothing is fetched yet."""
    return Record(
        source=source.key, producer=source.producer, product=source.product,
        licence=source.licence, attribution=source.attribution, run_t_s=run_t_s, parts={},
    )  # fmt: skip


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file, as hexadecimal digits."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK_BYTES):
            digest.update(chunk)
    return digest.hexdigest()


def record_text(record: Record) -> str:
    """Return a record as it is written: JSON, times as UTC seconds and as dates."""
    parts = {name: _part_row(one) for name, one in record.parts.items()}
    document: dict[str, object] = {
        "form": _FORM, "source": record.source, "producer": record.producer,
        "product": record.product, "licence": record.licence, "attribution": record.attribution,
        "parts": parts,
    }  # fmt: skip
    if record.run_t_s is not None:
        document |= {"run_t_s": record.run_t_s, "run_at": _utc_text(record.run_t_s)}
    return json.dumps(document, indent=1, sort_keys=True) + "\n"


def write_record(record: Record, folder: Path) -> None:
    """Write a record into a folder, whole or not at all."""
    path = folder / RECORD
    aside = path.with_name(f".{RECORD}.part")
    with disk_errors(path):
        aside.write_text(record_text(record), encoding="utf-8")
        aside.replace(path)


def read_record(folder: Path) -> Record | None:
    """Return the record of a folder, None where there is none that can be read."""
    path = folder / RECORD
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            return None
        return _record(json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None  # then all is fetched again


def whole_parts(record: Record, folder: Path) -> dict[str, Fetched]:
    """Return the files of a record that lie in a folder as they came."""
    return {name: one for name, one in record.parts.items() if _is_whole(folder / name, one)}


def _is_whole(path: Path, fetched: Fetched) -> bool:
    try:
        is_file = not path.is_symlink() and path.is_file()
        return is_file and path.stat().st_size == fetched.n_bytes and (
            sha256_of(path) == fetched.sha256
        )  # fmt: skip
    except OSError:
        return False


def _part_row(one: Fetched) -> dict[str, object]:
    return {
        "address": one.address, "fetched_t_s": one.fetched_t_s,
        "fetched_at": _utc_text(one.fetched_t_s), "step_h": one.step_h, "member": one.member,
        "n_bytes": one.n_bytes, "sha256": one.sha256,
    }  # fmt: skip


def _record(document: Any) -> Record:
    if document["form"] != _FORM:
        raise ValueError("another form")
    texts = ("source", "producer", "product", "licence", "attribution")
    return Record(
        **{key: str(document[key]) for key in texts},
        run_t_s=float(document["run_t_s"]) if "run_t_s" in document else None,
        parts={
            str(name): Fetched(
                address=str(row["address"]), fetched_t_s=float(row["fetched_t_s"]),
                step_h=int(row["step_h"]), member=str(row["member"]),
                n_bytes=int(row["n_bytes"]), sha256=str(row["sha256"]),
            )
            for name, row in document["parts"].items()
        },
    )  # fmt: skip


def _utc_text(t_s: float) -> str:
    return f"{local_datetime(t_s, 'UTC'):%Y-%m-%dT%H:%M:%SZ}"
