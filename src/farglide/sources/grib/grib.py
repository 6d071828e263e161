"""Forecasts in GRIB on pressure levels over a regular grid, as the air over one place."""

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.earth.state import Place
from farglide.sources.files import refused, utc_words
from farglide.sources.grib.grid import Grid, GridPlace, spot
from farglide.sources.grib.messages import check_grids, grib_messages
from farglide.sources.grib.moments import _SAME, ByPressure, air_at
from farglide.sources.levels.assemble import to_sounding
from farglide.sources.levels.levels import Levels, Report, blank_levels, counted
from farglide.sources.quiet import quiet

_NEEDED: Final = {"gph_m": "height", "t_k": "temperature", "u_mps": "u wind", "v_mps": "v wind"}

# What the decoder calls an element and its unit -> our quantity and the factor to it.
_ELEMENTS: Final = {
    ("HGT", "gpm"): ("gph_m", 1.0), ("GH", "gpm"): ("gph_m", 1.0), ("GH", "m"): ("gph_m", 1.0),
    ("GP", "m^2/s^2"): ("gph_m", 1.0 / 9.80665), ("Z", "m^2/s^2"): ("gph_m", 1.0 / 9.80665),
    ("TMP", "K"): ("t_k", 1.0), ("T", "K"): ("t_k", 1.0), ("UGRD", "m/s"): ("u_mps", 1.0),
    ("U", "m/s"): ("u_mps", 1.0), ("VGRD", "m/s"): ("v_mps", 1.0), ("V", "m/s"): ("v_mps", 1.0),
    ("RH", "%"): ("rh_ratio", 0.01), ("R", "%"): ("rh_ratio", 0.01),
}  # fmt: skip
_BRACKETS: Final = str.maketrans("", "", "[]() ")
_LEVEL: Final = re.compile(r"([\d.]+)\[(Pa|hPa)\]\s*ISBL")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    """One band of the file that may be of use."""

    band: int
    quantity: str
    factor: float
    p_pa: float
    valid_s: float
    run_s: float


def read_grib_column(path: Path, place: Place, t_s: float | None) -> Sounding:
    """Return the forecast air over a place, at `t_s` if the file spans it.

    Values are bilinear between grid points and linear in time between the two valid times around
    `t_s`; outside them the nearest time is taken as it is. Pressure levels that lack height,
    temperature or wind are left out and named.
    """
    check_grids(path, grib_messages(path))
    report = Report(
        path=str(path), noun="level", origin="", lat_deg=place.lat_deg, lon_deg=place.lon_deg
    )
    columns = _columns(path, place, report)
    by_time = {valid_s: column for (valid_s, _), column in columns.items() if column}
    if not by_time:
        what = "has no pressure level with height, temperature and both winds."
        remedy = "Fetch these four on pressure levels from 1000 hPa up to 10 hPa or less."
        raise refused(path, what, remedy)
    runs = dict(columns.keys())
    column, moment_s, valid_text = air_at(by_time, t_s, report)
    run_s = runs[min(by_time, key=lambda valid_s: abs(valid_s - moment_s))]
    origin = f"forecast run {utc_words(run_s)} + {(moment_s - run_s) / 3600.0:.4g} h"
    report = replace(report, origin=origin, t_s=moment_s, run_t_s=run_s)
    span_text = f"{max(column) / 100:g} to {min(column) / 100:g} hPa"
    report.note(f"{counted(len(column), 'pressure level')}, {span_text}, {valid_text}")
    return to_sounding(_levels(column, place, report), report)


def _columns(path: Path, place: Place, report: Report) -> dict[tuple[float, float], ByPressure]:
    """Return the complete levels by valid and run time, the newest run of each valid time."""
    import rasterio
    from rasterio.errors import RasterioError

    # NO units: else temperatures come in Celsius. NO index files, no side files: only this file.
    options = {"GRIB_NORMALIZE_UNITS": "NO", "GRIB_USE_IDX": "NO", "GDAL_PAM_ENABLED": "NO"}
    try:
        with (
            quiet(),
            rasterio.Env(**options, GDAL_DISABLE_READDIR_ON_OPEN="EMPTY_DIR"),
            rasterio.open(str(path.absolute()), driver="GRIB") as dataset,
        ):
            grid = _grid(dataset, path)
            where = spot(grid, place.lat_deg, place.lon_deg)
            if where is None:
                asked = f"latitude {place.lat_deg:g}, longitude {place.lon_deg:g}"
                what = f"does not reach the place at {asked}; its grid has {grid.bounds_text}."
                raise refused(path, what, "Fetch a forecast that covers the launch place.")
            fields = _newest(_fields(dataset), report)
            return _complete(_sampled(dataset, fields, where, report), report)
    except (RasterioError, OSError, ValueError, KeyError) as error:
        what = f"cannot be decoded as GRIB: {error}."
        raise refused(path, what, "Fetch it again, as binary.") from error


def _grid(dataset: Any, path: Path) -> Grid:
    t = dataset.transform
    plain = dataset.crs is not None and dataset.crs.is_geographic
    if not plain or t.b != 0.0 or t.d != 0.0 or t.a == 0.0 or t.e == 0.0 or dataset.width < 2:
        what = "is not on an evenly spaced latitude/longitude grid."
        raise refused(path, what, "Fetch the forecast on a regular latitude/longitude grid.")
    return Grid(
        n_rows=dataset.height,
        n_columns=dataset.width,
        first_lat_deg=t.f + 0.5 * t.e,
        lat_step_deg=t.e,
        first_lon_deg=t.c + 0.5 * t.a,
        lon_step_deg=t.a,
    )


def _fields(dataset: Any) -> list[_Field]:
    """Return the bands on pressure levels that hold a quantity of use."""
    fields = []
    for band in range(1, dataset.count + 1):
        tags = dataset.tags(band)
        unit = tags.get("GRIB_UNIT", "").translate(_BRACKETS)
        element = _ELEMENTS.get((tags.get("GRIB_ELEMENT", ""), unit))
        level = _LEVEL.match(dataset.descriptions[band - 1] or "")
        if element is None or level is None:
            continue
        fields.append(
            _Field(
                band=band,
                quantity=element[0],
                factor=element[1],
                p_pa=float(level[1]) * (100.0 if level[2] == "hPa" else 1.0),
                valid_s=float(tags["GRIB_VALID_TIME"].split()[0]),
                run_s=float(tags["GRIB_REF_TIME"].split()[0]),
            )
        )
    return fields


def _newest(fields: list[_Field], report: Report) -> list[_Field]:
    """Return the fields of the newest run for each valid time."""
    newest: dict[float, float] = {}
    for item in fields:
        newest[item.valid_s] = max(item.run_s, newest.get(item.valid_s, item.run_s))
    kept = [item for item in fields if item.run_s == newest[item.valid_s]]
    report.count(len(fields) - len(kept), "of older runs for the same time left out", "field")
    return kept


def _sampled(
    dataset: Any, fields: list[_Field], where: GridPlace, report: Report
) -> dict[tuple[float, float], ByPressure]:
    """Return the values at the spot; raise when two fields of one kind disagree."""
    from rasterio.windows import Window

    first = where.rows[0]
    window = Window(0, first, dataset.width, where.rows[1] - first + 1)
    columns: dict[tuple[float, float], ByPressure] = {}
    for item in fields:
        rows = dataset.read(item.band, window=window, masked=True).astype(np.float64)
        strip = rows.filled(np.nan)
        value = where.value(strip[0], strip[-1]) * item.factor
        if not np.isfinite(value):
            continue
        level = columns.setdefault((item.valid_s, item.run_s), {}).setdefault(item.p_pa, {})
        known = level.setdefault(item.quantity, value)
        if abs(known - value) > _SAME[item.quantity]:
            level_text = f"{item.p_pa / 100:g} hPa {utc_words(item.valid_s)}"
            what = f"gives {item.quantity} at {level_text} again, {value:g} after {known:g}."
            remedy = "Keep one member of an ensemble in the file."
            raise report.error(what, remedy, where=f"band {item.band}")
    return columns


def _complete(
    columns: dict[tuple[float, float], ByPressure], report: Report
) -> dict[tuple[float, float], ByPressure]:
    """Return only levels with height, temperature and both winds, naming the others."""
    kept: dict[tuple[float, float], ByPressure] = {}
    for moment, column in columns.items():
        kept[moment] = {p: level for p, level in column.items() if _NEEDED.keys() <= level.keys()}
        for p_pa in sorted(column.keys() - kept[moment].keys(), reverse=True):
            lacking = [word for name, word in _NEEDED.items() if name not in column[p_pa]]
            level_text = f"level {p_pa / 100:g} hPa {utc_words(moment[0])}"
            report.note(f"{level_text} left out: no {', no '.join(lacking)}")
    return kept


def _levels(column: ByPressure, place: Place, report: Report) -> Levels:
    levels = blank_levels(len(column))
    for i, p_pa in enumerate(sorted(column, reverse=True)):
        levels["p_pa"][i] = p_pa
        for name, value in column[p_pa].items():
            levels[name][i] = value
    below = (levels["gph_m"] < place.amsl_m).sum()
    report.count(below, "below the ground at the place, extended by the model")
    levels["rh_ratio"] = np.clip(levels["rh_ratio"], 0.0, 1.2)
    return levels
