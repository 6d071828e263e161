"""Soundings in NetCDF as observatories keep them: pres, tdry, rh, u_wind, v_wind, alt."""

import math
from pathlib import Path
from typing import Any, Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.earth.heights import geopotential_at_m
from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.files import content, refused, utc_words
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.levels import (
    Levels,
    Report,
    blank_levels,
    drop_impossible,
    uv_mps,
)
from farglide.sources.quiet import quiet
from farglide.sources.soundings.netcdf_length import check_length, check_sizes
from farglide.units import CELSIUS_ZERO_K, HECTOPASCAL_PA, KNOT_MPS

_NEEDED: Final = ("pres", "tdry", "alt")
_FILL: Final = -9998.0  # -9999 and below; 999999 is above every limit of what air can be
_DEGREES: Final = (
    "degree_n", "degree_e", "degrees_north", "degrees_east", "degrees", "degree", "deg",
)  # fmt: skip
_UNITS: Final[dict[str, dict[str, tuple[float, float]]]] = {  # unit -> factor and offset to SI
    "pres": {"hpa": (HECTOPASCAL_PA, 0.0), "mb": (HECTOPASCAL_PA, 0.0), "pa": (1.0, 0.0)},
    "tdry": {"c": (1.0, CELSIUS_ZERO_K), "degc": (1.0, CELSIUS_ZERO_K), "k": (1.0, 0.0)},
    "rh": {"%": (0.01, 0.0), "percent": (0.01, 0.0), "1": (1.0, 0.0)},
    "wind": {"m/s": (1.0, 0.0), "m s-1": (1.0, 0.0), "knots": (KNOT_MPS, 0.0)},
    "alt": {"m": (1.0, 0.0), "meters": (1.0, 0.0), "meters above mean sea level": (1.0, 0.0)},
    "angle": dict.fromkeys(_DEGREES, (1.0, 0.0))
    | dict.fromkeys(("radian", "radians", "rad"), (180.0 / math.pi, 0.0)),
}


def read_netcdf_sounding(path: Path, place: Place | None) -> Sounding:
    """Return the climb of one sounding flight.

    Heights in the file are geometric and become geopotential at its latitude. Elapsed time and
    displacement from the first sample are kept.
    """
    check_length(path, content(path))
    import netCDF4

    try:
        with quiet(), netCDF4.Dataset(str(path), "r") as dataset:
            check_sizes(dataset, path)
            return _read(dataset, path, place)
    except SourceError:
        raise
    except Exception as error:  # a damaged file fails anywhere in the C library below
        what = f"cannot be read as NetCDF: {error}."
        raise refused(path, what, "Fetch it again, as binary.") from error


def _read(dataset: Any, path: Path, place: Place | None) -> Sounding:
    _check_names(dataset, path)
    n = len(np.ravel(dataset["pres"][:]))
    lat_deg, lon_deg = _angles(dataset, "lat", n, path), _angles(dataset, "lon", n, path)
    start_lat, start_lon = _first(lat_deg), _first(lon_deg)
    launch_s, elapsed_s = _times_s(dataset, n, path)
    report = Report(
        path=str(path),
        noun="sample",
        origin=f"sounding {_site(dataset) or path.name} {utc_words(launch_s)}",
        lat_deg=start_lat,
        lon_deg=start_lon,
        t_s=launch_s,
    )
    levels = blank_levels(n)
    levels["p_pa"] = _values(dataset, "pres", "pres", n, path)
    levels["t_k"] = _values(dataset, "tdry", "tdry", n, path)
    if "rh" in dataset.variables:
        levels["rh_ratio"] = _values(dataset, "rh", "rh", n, path)
    levels["u_mps"], levels["v_mps"] = _wind(dataset, n, path)
    levels["elapsed_s"] = elapsed_s
    levels["lat_offset_deg"] = lat_deg - start_lat
    levels["lon_offset_deg"] = (lon_deg - start_lon + 180.0) % 360.0 - 180.0
    levels["gph_m"] = _geopotential_m(_values(dataset, "alt", "alt", n, path), report, place)
    _count_fills(levels, report)
    return to_sounding(drop_impossible(levels, report), report)


def _check_names(dataset: Any, path: Path) -> None:
    names = set(dataset.variables)
    lacking = [name for name in _NEEDED if name not in names]
    if not {"u_wind", "v_wind"} <= names and not {"deg", "wspd"} <= names:
        lacking.append("u_wind and v_wind (or deg and wspd)")
    if lacking:
        found = ", ".join(sorted(names)[:20]) or "none"
        remedy = "Give a sounding with pres, tdry, u_wind, v_wind and alt over time."
        raise refused(path, f"has no variable {', no '.join(lacking)}; it has {found}.", remedy)


def _values(dataset: Any, name: str, kind: str, n: int, path: Path) -> FloatArray:
    """Return a variable in SI with fills as NaN."""
    variable = dataset[name]
    variable.set_auto_mask(False)
    raw = np.ravel(np.asarray(variable[:], np.float64))
    _check_length(raw, n, path, name)
    unit = str(getattr(variable, "units", "")).strip()
    known = _UNITS[kind].get(unit.lower())
    if known is None:
        what = f"has the unit {unit!r}; allowed: {', '.join(_UNITS[kind])}."
        remedy = "Convert it, or write the unit down if it is missing."
        raise refused(path, what, remedy, where=f"variable {name}")
    top = 999_999.0 if kind == "pres" and unit.lower() == "pa" else 99_999.0
    fills = ~np.isfinite(raw) | (raw <= _FILL) | (raw >= top)
    return np.where(fills, np.nan, raw * known[0] + known[1])


def _check_length(values: FloatArray, n: int, path: Path, name: str) -> None:
    if len(values) != n:
        what = f"has {len(values)} values, pres has {n}; allowed: as many."
        raise refused(path, what, "Give a file of one sounding.", where=f"variable {name}")


def _wind(dataset: Any, n: int, path: Path) -> tuple[FloatArray, FloatArray]:
    if {"u_wind", "v_wind"} <= set(dataset.variables):
        u, v = (_values(dataset, name, "wind", n, path) for name in ("u_wind", "v_wind"))
        return u, v
    from_deg = _values(dataset, "deg", "angle", n, path)
    return uv_mps(from_deg, _values(dataset, "wspd", "wind", n, path))


def _angles(dataset: Any, name: str, n: int, path: Path) -> FloatArray:
    if name not in dataset.variables:
        return np.full(n, np.nan)
    values = _values(dataset, name, "angle", n, path)
    limit = 90.0 if name == "lat" else 360.0
    return np.where(np.abs(values) <= limit, values, np.nan)


def _first(values: FloatArray) -> float:
    known = values[np.isfinite(values)]
    return float(known[0]) if len(known) else float("nan")


def _times_s(dataset: Any, n: int, path: Path) -> tuple[float, FloatArray]:
    """Return when the flight began and the seconds of each sample after that, NaN if not said."""
    nothing = float("nan"), np.full(n, np.nan)
    if "time_offset" not in dataset.variables or "base_time" not in dataset.variables:
        return nothing
    offset_s = np.ravel(np.ma.filled(dataset["time_offset"][:].astype(np.float64), np.nan))
    base_s = float(np.ravel(dataset["base_time"][:])[0])
    _check_length(offset_s, n, path, "time_offset")
    start_s = _first(offset_s)
    return base_s + start_s, offset_s - start_s


def _site(dataset: Any) -> str:
    facility = str(getattr(dataset, "facility_id", "")).strip()
    return facility.split(":", 1)[-1].strip()


def _geopotential_m(alt_m: FloatArray, report: Report, place: Place | None) -> FloatArray:
    lat_deg = report.lat_deg
    if not np.isfinite(lat_deg):
        lat_deg = place.lat_deg if place is not None else 45.0
        taken = f"heights turned into geopotential as at {lat_deg:g} degrees"
        report.note(f"latitude not given: {taken}")
    possible = (alt_m >= -500.0) & (alt_m <= 90_000.0)
    known_m = np.where(possible, alt_m, np.nan)
    return np.array([geopotential_at_m(float(h), lat_deg) if h == h else np.nan for h in known_m])


def _count_fills(levels: Levels, report: Report) -> None:
    for name, word in (("p_pa", "pressure"), ("t_k", "temperature"), ("u_mps", "wind")):
        report.count(np.isnan(levels[name]).sum(), f"without {word} (fill values)")
