"""Grids of a pack: a forecast as one array on disk, opened at once, verified where it is read."""

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from farglide.air.windgrid import FIELDS, WindGrid
from farglide.arrays import FloatArray, SingleArray
from farglide.errors import InputError, SourceError

FORECAST: Final = "forecast"
MEMBERS: Final = "members"
"""The names of the forecast round the launch, and of an ensemble, in a pack."""
ARRAY: Final = ".npy"
"""How the part ends that holds the values: the open array format of numpy, version 1.0 to 3.0."""
GRID_PARTS: Final = tuple(
    f"{name}{end}" for name in (FORECAST, MEMBERS) for end in (".json", ARRAY)
)
_FORM: Final = "farglide grid 1"
_LARGEST_BYTES: Final = 20_000_000
_AXES: Final = ("times_s", "p_pa", "lat_deg", "lon_deg")
_TEXTS: Final = ("origin", "licence", "attribution")
_AGAIN: Final = "Gather it again."


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredGrid:
    """A forecast in a pack, of which only the description was read.

    `sha256`: of the values of each member and time, in that order.
    """

    path: Path  # of the values
    times_s: FloatArray
    fields: tuple[str, ...]
    described: dict[str, Any]  # what a WindGrid has besides times and fields
    sha256: tuple[str, ...]


def write_grid(grid: WindGrid, folder: Path, name: str) -> dict[str, str]:
    """Write a forecast as two parts of a pack; return the checksum of each by its name.

    Values are written member by member and time by time, each of them the fields of all levels.
    """
    fields = [one for one in FIELDS if getattr(grid, one) is not None]
    n_members, n_times, *box = grid.shape
    header = {"descr": "<f4", "fortran_order": False,
              "shape": (n_members, n_times, len(fields), *box)}  # fmt: skip
    sums, whole = list[str](), hashlib.sha256()
    path = folder / f"{name}{ARRAY}"
    with path.open("xb+") as file:
        np.lib.format.write_array_header_1_0(file, header)
        file.seek(0)
        whole.update(file.read())
        for member in range(n_members):
            for time in range(n_times):
                values = np.stack([getattr(grid, one)[member, time] for one in fields])
                data = values.astype("<f4").tobytes()
                sums.append(hashlib.sha256(data).hexdigest())
                whole.update(data)
                file.write(data)
    text = _described(grid, fields, sums).encode()
    (folder / f"{name}.json").write_bytes(text)
    return {path.name: whole.hexdigest(), f"{name}.json": hashlib.sha256(text).hexdigest()}


def stored_grid(folder: Path, name: str) -> StoredGrid:
    """Return the description of a forecast in a pack; raise `SourceError` where it is damaged."""
    path = folder / f"{name}.json"
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise ValueError("it is larger than a description can be")
        return _stored(json.loads(path.read_bytes()), folder / f"{name}{ARRAY}")
    except (KeyError, TypeError, ValueError, OverflowError, OSError, RecursionError) as error:
        raise SourceError(str(path), "", f"is damaged: {error}.", _AGAIN) from error


def grid_between(stored: StoredGrid, first_s: float, last_s: float) -> WindGrid:
    """Return a forecast from the time before `first_s` to that after `last_s`, as far as it goes.

    What is read is held against its checksums. Raises `SourceError`.
    """
    times_s = stored.times_s
    first = max(int(np.searchsorted(times_s, first_s, side="right")) - 1, 0)
    last = min(int(np.searchsorted(times_s, last_s)) + 1, len(times_s))
    taken = np.arange(min(first, len(times_s) - 1), max(last, first + 1))[: len(times_s)]
    members = stored.described["members"]
    try:
        values = np.load(stored.path, mmap_mode="r", allow_pickle=False)
        axes = (stored.described[one] for one in _AXES[1:])
        shape = len(members), len(times_s), len(stored.fields), *(len(one) for one in axes)
        if values.dtype != np.dtype("<f4") or values.shape != shape:
            raise ValueError(f"it holds {values.dtype} {values.shape}, not float32 {shape}")
        rows = [[_verified(values, stored, m, t) for t in taken] for m in range(len(members))]
        parts: dict[str, Any] = dict(
            zip(stored.fields, np.moveaxis(np.array(rows, np.float32), 2, 0), strict=True)
        )
        return WindGrid(times_s=times_s[taken], **stored.described, **parts)
    except (ValueError, OSError, EOFError, InputError) as error:
        raise SourceError(str(stored.path), "", f"is damaged: {error}.", _AGAIN) from error


def _verified(values: Any, stored: StoredGrid, member: int, time: int) -> SingleArray:
    """Return the fields of a member at a time, (n_fields, n_levels, n_rows, n_columns)."""
    found = np.array(values[member, time])
    sha256 = stored.sha256[member * len(stored.times_s) + time]
    if hashlib.sha256(found.tobytes()).hexdigest() != sha256:
        raise ValueError(f"its checksum differs, of member {member + 1}, time {time + 1}")
    return found


def _described(grid: WindGrid, fields: list[str], sums: list[str]) -> str:
    document = {
        "form": _FORM,
        "fields": fields,
        "members": list(grid.members),
        "run_t_s": grid.run_t_s if np.isfinite(grid.run_t_s) else None,
        "notes": list(grid.notes),
        "sha256": sums,
        **{name: getattr(grid, name) for name in _TEXTS},
        **{name: getattr(grid, name).tolist() for name in _AXES},
    }
    return json.dumps(document, indent=1, allow_nan=False)


def _stored(document: Any, path: Path) -> StoredGrid:
    if not isinstance(document, dict) or document.get("form") != _FORM:
        raise ValueError(f"its form is not {_FORM!r}")
    times_s, *axes = (_numbers(document[name]) for name in _AXES)
    members, fields = _words(document["members"]), _words(document["fields"])
    if not set(fields) <= set(FIELDS) or len(set(fields)) != len(fields) or not members:
        raise ValueError(f"it names fields {fields} of members {members}")
    sums = _words(document["sha256"])
    if len(sums) != len(members) * len(times_s):
        raise ValueError(f"it has {len(sums)} checksums for {len(members)} members")
    run = document["run_t_s"]
    described = {
        "members": members,
        "run_t_s": float("nan") if run is None else float(run),
        "notes": _words(document["notes"]),
        **{name: str(document[name]) for name in _TEXTS},
        **dict(zip(_AXES[1:], axes, strict=True)),
    }
    return StoredGrid(path=path, times_s=times_s, fields=fields, described=described, sha256=sums)


def _numbers(values: Any) -> FloatArray:
    found = np.array(values, dtype=np.float64)
    if found.ndim != 1 or not len(found) or not np.isfinite(found).all():
        raise ValueError("an axis is no row of numbers")
    return found


def _words(values: Any) -> tuple[str, ...]:
    if not isinstance(values, list) or not all(isinstance(one, str) for one in values):
        raise TypeError("a list of words is none")
    return tuple(values)
