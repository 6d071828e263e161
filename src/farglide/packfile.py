"""Pack file: a pack as a folder that opens offline."""

import json
from pathlib import Path
from typing import Final

import numpy as np

from farglide.air.column import Sounding
from farglide.errors import SourceError, is_number
from farglide.sortie.pack import Pack

_FLIGHT: Final = "flight.toml"
_WINDS: Final = "winds.json"
_FORM: Final = "farglide pack 1"
_ARRAYS: Final = ("gph_m", "p_pa", "t_k", "relative_humidity_ratio", "u_mps", "v_mps")


def save_pack(pack: Pack, folder: Path) -> None:
    """Write a pack into a folder: each file whole or not at all.

    A sounding's times and displacements are left out: no flight is planned from them.
    """
    sounding = pack.sounding
    document = {
        "form": _FORM,
        "origin": sounding.origin,
        "notes": list(sounding.notes),
        "lat_deg": _none(sounding.lat_deg),
        "lon_deg": _none(sounding.lon_deg),
        "t_s": _none(sounding.t_s),
        "run_t_s": _none(sounding.run_t_s),
        "levels": {name: [_none(float(x)) for x in getattr(sounding, name)] for name in _ARRAYS},
    }
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _write(folder / _WINDS, json.dumps(document, indent=1, allow_nan=False))
        _write(folder / _FLIGHT, pack.flight_text)
    except OSError as error:
        what = f"cannot be written: {error.strerror}."
        raise SourceError(str(folder), "", what, "Choose another folder.") from error


def open_pack(folder: Path) -> Pack:
    """Return the pack of a folder."""
    path = folder / _WINDS
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        remedy = "Make one with: farglide gather FILE --pack DIR"
        raise SourceError(str(folder), "", "holds no pack.", remedy) from None
    except (OSError, ValueError, RecursionError) as error:
        raise SourceError(str(path), "", f"cannot be read: {error}.", "Gather it again.") from error
    if not isinstance(document, dict) or document.get("form") != _FORM:
        raise SourceError(str(path), "form", f"is not {_FORM!r}.", "Gather it again.")
    try:
        levels = {name: [_nan(x) for x in document["levels"][name]] for name in _ARRAYS}
        sounding = Sounding(
            **{name: np.array(values, dtype=np.float64) for name, values in levels.items()},
            lat_deg=_nan(document["lat_deg"]),
            lon_deg=_nan(document["lon_deg"]),
            t_s=_nan(document["t_s"]),
            run_t_s=_nan(document["run_t_s"]),
            origin=str(document["origin"]),
            notes=tuple(str(note) for note in document["notes"]),
        )
        return Pack(
            sounding=sounding,
            flight_text=(folder / _FLIGHT).read_text(encoding="utf-8"),
        )
    except (KeyError, TypeError, ValueError, OverflowError, OSError) as error:
        raise SourceError(str(path), "", f"is damaged: {error}.", "Gather it again.") from error


def flight_path(folder: Path) -> Path:
    """Return where a pack keeps its flight file."""
    return folder / _FLIGHT


def _write(path: Path, text: str) -> None:
    part = path.with_suffix(path.suffix + ".part")
    part.write_text(text, encoding="utf-8", newline="")
    part.replace(path)


def _none(value: float) -> float | None:
    return value if value == value else None


def _nan(value: object) -> float:
    if value is None:
        return float("nan")
    if not is_number(value):
        raise TypeError(f"{value!r} is no number")
    return float(value)
