"""Winds of a pack: a sounding as a JSON document and back."""

import json
from typing import Any, Final

import numpy as np

from farglide.air.sounding import Gap, Sounding
from farglide.errors import is_number

_ARRAYS: Final = ("gph_m", "p_pa", "t_k", "relative_humidity_ratio", "u_mps", "v_mps")
_NUMBERS: Final = ("lat_deg", "lon_deg", "t_s", "run_t_s")


def winds_text(sounding: Sounding) -> str:
    """Return a sounding as a JSON document.

    Its times and displacements are left out: no flight is planned from them.
    """
    document = {
        "origin": sounding.origin,
        "notes": list(sounding.notes),
        **{name: _none(getattr(sounding, name)) for name in _NUMBERS},
        "windless_gph_m": [list(one) for one in sounding.windless_gph_m],
        "levels": {name: [_none(float(x)) for x in getattr(sounding, name)] for name in _ARRAYS},
    }
    return json.dumps(document, indent=1, allow_nan=False)


def sounding_of(text: str) -> Sounding:
    """Return the sounding of a document.

    Raises KeyError, TypeError, ValueError or OverflowError where it is another one's.
    """
    document = json.loads(text)
    if not isinstance(document, dict):
        raise TypeError("it is no table")
    told = {name: [_nan(x) for x in document["levels"][name]] for name in _ARRAYS}
    levels: dict[str, Any] = {name: np.array(one, np.float64) for name, one in told.items()}
    return Sounding(
        **levels,
        lat_deg=_nan(document["lat_deg"]),
        lon_deg=_nan(document["lon_deg"]),
        t_s=_nan(document["t_s"]),
        run_t_s=_nan(document["run_t_s"]),
        origin=str(document["origin"]),
        notes=tuple(str(note) for note in document["notes"]),
        windless_gph_m=tuple(
            Gap(_nan(low), _nan(high)) for low, high in document.get("windless_gph_m", ())
        ),
    )


def _none(value: float) -> float | None:
    return value if value == value else None


def _nan(value: object) -> float:
    if value is None:
        return float("nan")
    if not is_number(value):
        raise TypeError(f"{value!r} is no number")
    return float(value)
