"""Columns of a CSV sounding: which names exist, what values they hold, and how they become SI."""

import difflib
from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.sources.levels.levels import Report
from farglide.units import CELSIUS_ZERO_K, HECTOPASCAL_PA, KNOT_MPS

# 9999 m, 9999 Pa and 99999 Pa are real heights and pressures, so those columns know fewer fills.
_NEVER: Final = (999_999.0, -999_999.0, -99_999.0, -9999.0, -8888.0)
_FEW: Final = (*_NEVER, -999.0)
_USUAL: Final = (*_NEVER, 99_999.0, 9999.0, 999.0, 999.9, -999.0)


class ColumnKind(NamedTuple):
    """One kind of column: what it holds, the values allowed, its fill values, and its scale."""

    quantity: str  # the field of a level, or "amsl_m", "wind_from_deg", "wind_mps"
    low: float
    high: float
    hint: str
    fills: tuple[float, ...] = _USUAL
    factor: float = 1.0
    offset: float = 0.0


KINDS: Final[dict[str, ColumnKind]] = {
    "gph_m": ColumnKind("gph_m", -500.0, 90_000.0,
        "gph_m is geopotential height in metres above sea level.", _FEW),
    "amsl_m": ColumnKind("amsl_m", -500.0, 90_000.0,
        "amsl_m is geometric height in metres above sea level.", _FEW),
    "p_pa": ColumnKind("p_pa", 0.1, 110_000.0, "p_pa is in pascals.", _FEW),
    "p_hpa": ColumnKind("p_pa", 0.001, 1100.0, "Values in pascals belong under p_pa.",
        (*_FEW, 99_999.0, 9999.0), HECTOPASCAL_PA),
    "t_k": ColumnKind("t_k", 150.0, 330.0, "Values in degrees Celsius belong under t_c."),
    "t_c": ColumnKind("t_k", -123.15, 56.85, "Values in kelvins belong under t_k.",
        offset=CELSIUS_ZERO_K),
    "rh_percent": ColumnKind("rh_ratio", 0.0, 120.0,
        "rh_percent is relative humidity from 0 to 100.", factor=0.01),
    "rh_ratio": ColumnKind("rh_ratio", 0.0, 1.2, "Values in percent belong under rh_percent."),
    "u_mps": ColumnKind("u_mps", -200.0, 200.0, "u_mps is the wind toward east."),
    "v_mps": ColumnKind("v_mps", -200.0, 200.0, "v_mps is the wind toward north."),
    "wind_from_deg": ColumnKind("wind_from_deg", 0.0, 360.0,
        "wind_from_deg is where the wind comes from, clockwise from true north."),
    "wind_mps": ColumnKind("wind_mps", 0.0, 200.0,
        "wind_mps is the wind speed; in knots it belongs under wind_kt."),
    "wind_kt": ColumnKind("wind_mps", 0.0, 388.0, "wind_kt is the wind speed in knots.",
        factor=KNOT_MPS),
    "elapsed_s": ColumnKind("elapsed_s", 0.0, 86_400.0, "elapsed_s counts from the launch.",
        (*_FEW, 99_999.0)),
}  # fmt: skip
_MOST_COLUMNS: Final = 200
_LONGEST_NAME: Final = 60
NAME_THEM: Final = f"Name the columns with their unit: {', '.join(KINDS)}."


def checked_header(cells: list[str], report: Report, where: str) -> list[str]:
    """Return the column names, which together give height and wind once, or raise."""
    if len(cells) > _MOST_COLUMNS:
        what = f"names {len(cells)} columns; allowed: up to {_MOST_COLUMNS}."
        raise report.error(what, "Keep those that are needed.", where=where)
    names = [cell.strip().strip('"').strip()[:_LONGEST_NAME] for cell in cells]
    for name in names:
        remedy = _conversion(name)
        if not remedy and (near := _near_miss(name, names)):
            remedy = f"Did you mean {near!r}?"
        if name not in KINDS and remedy:
            raise report.error(f"has a column {name!r}.", remedy, where=where)
    for name in KINDS:
        if names.count(name) > 1:
            what = f"has {names.count(name)} columns {name!r}; allowed: 1."
            raise report.error(what, where=where)
    for pair in _ALTERNATIVES:
        _check_one(names, pair, report, where)
    _check_wind(names, report, where)
    unused = [name for name in names if name not in KINDS]
    if unused:
        report.note(f"columns not used: {', '.join(repr(name) for name in unused)}")
    return names


def check_column(name: str, values: FloatArray, lines: IntArray, report: Report) -> None:
    """Raise where a value, fills already NaN, is not what its column name says."""
    kind = KINDS[name]
    bad = np.isfinite(values) & ~((values >= kind.low) & (values <= kind.high))
    if bad.any():
        i = int(np.argmax(bad))
        more = f" (and {int(bad.sum()) - 1} more)" if bad.sum() > 1 else ""
        what = f"{name} is {values[i]:g}{more}; allowed: {kind.low:g} to {kind.high:g}."
        remedy = f"{kind.hint} Leave a cell empty where nothing was measured."
        raise report.error(what, remedy, where=f"line {lines[i]}")
    odd, known = _SUSPICIONS.get(name), values[np.isfinite(values)]
    if odd and len(known) >= odd.n_least and odd.is_so(known):
        what = f"has no value above {known.max():g} {odd.question}"
        raise report.error(what, kind.hint, where=f"column {name}")


class _Suspicion(NamedTuple):
    """What makes so many values look as if they were in another unit, and what is asked then."""

    n_least: int
    is_so: Callable[[FloatArray], object]  # true or false, in any of numpy's kinds
    question: str


_ALTERNATIVES: Final = (
    ("gph_m", "amsl_m"), ("p_pa", "p_hpa"), ("t_k", "t_c"), ("rh_percent", "rh_ratio"),
    ("wind_mps", "wind_kt"),
)  # fmt: skip
_FACTORS: Final = {
    "ft": ("m", 0.3048), "km": ("m", 1000.0), "kmh": ("mps", 1.0 / 3.6), "mph": ("mps", 0.44704),
    "mb": ("hpa", 1.0), "kpa": ("hpa", 10.0),
}  # fmt: skip
"""What units that are not read are in one that is."""
_SUSPICIONS: Final = {
    "p_pa": _Suspicion(3, lambda x: x.max() <= 1100.0 and x.max() > 2.0 * x.min(),
        "Pa; is it in hectopascals (p_hpa)?"),
    "wind_from_deg": _Suspicion(5, lambda x: x.max() <= 2.0 * np.pi and len(np.unique(x)) > 3,
        "degrees; are the directions in radians?"),
    "rh_percent": _Suspicion(3, lambda x: 0.02 < x.max() <= 1.2,
        "percent; is it a ratio (rh_ratio)?"),
}  # fmt: skip


def _conversion(name: str) -> str:
    """Return how a column in a unit that is not read becomes one that is, nothing for others."""
    stem, _, unit = name.lower().rpartition("_")
    known, factor = _FACTORS.get(unit, ("", 0.0))
    if f"{stem}_{known}" not in KINDS:
        return ""
    return f"Multiply its values by {factor:g} and call it '{stem}_{known}'."


def _near_miss(name: str, names: list[str]) -> str:
    """Return the known column that `name` was probably meant to be, if it is not there already."""
    taken = {other for group in _ALTERNATIVES if set(group) & set(names) for other in group}
    free = [kind for kind in KINDS if kind not in names and kind not in taken]
    by_lower = {kind.lower(): kind for kind in free}
    if name.lower() in by_lower:
        return by_lower[name.lower()]
    close = difflib.get_close_matches(name.lower(), free, n=1, cutoff=0.75)
    return close[0] if close else ""


def _check_one(names: list[str], choice: tuple[str, ...], report: Report, where: str) -> None:
    """Raise when both columns of a pair are there, or no height."""
    given = [name for name in choice if name in names]
    if len(given) > 1:
        what = f"has both {' and '.join(given)}; allowed: one of them."
        raise report.error(what, "Leave one out.", where=where)
    if not given and "gph_m" in choice:
        found = ", ".join(repr(name) for name in names[:12])
        what = f"has no column {' or '.join(choice)}, only {found}."
        raise report.error(what, NAME_THEM, where=where)


def _check_wind(names: list[str], report: Report, where: str) -> None:
    polar = [name for name in ("wind_from_deg", "wind_mps", "wind_kt") if name in names]
    parts = [name for name in ("u_mps", "v_mps") if name in names]
    whole_polar = polar in (["wind_from_deg", "wind_mps"], ["wind_from_deg", "wind_kt"])
    if (whole_polar and not parts) or (len(parts) == 2 and not polar):
        return
    found = ", ".join((*polar, *parts)) or "none of them"
    allowed = "wind_from_deg with wind_mps or wind_kt, or u_mps with v_mps"
    what = f"gives the wind as {found}; allowed: {allowed}."
    raise report.error(what, "Name the columns with their unit and give one pair.", where=where)
