"""Made-up forecasts in NetCDF, in the spellings that files come in."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import netCDF4
import numpy as np
from numpy.typing import NDArray
from tests.sources.grids.encode import AIR

DIMENSIONS = ("time", "level", "latitude", "longitude")
_STANDARD = {
    "z": "geopotential",
    "t": "air_temperature",
    "u": "eastward_wind",
    "v": "northward_wind",
}
_UNITS = {"z": "m**2 s**-2", "t": "K", "u": "m s-1", "v": "m s**-1"}
_OURS = {"z": "gph_m", "t": "t_k", "u": "u_mps", "v": "v_mps"}
_G = 9.80665


@dataclass(frozen=True, kw_only=True)
class Spelling:
    """How a file writes what it tells."""

    level: tuple[str, float] = ("hPa", 1.0)  # unit, and its number for a hectopascal
    time: tuple[str, float, float] = ("hours since 2020-01-01", 1.0 / 3600.0, 0.0)
    standard: bool = True  # whether variables have standard names
    names: bool = True  # whether dimensions and coordinates have plain names
    order: tuple[str, ...] = DIMENSIONS
    north_first: bool = True
    west_first: bool = True
    packed: bool = False
    members: int = 0
    run_h: float | None = None
    lead: bool = False  # whether times are leads of one run
    unit: tuple[str, str] = ("", "")  # of a variable, another one
    along_grid: bool = False
    two_dimensional: bool = False
    uneven: bool = False
    loose: bool = False
    classic: bool = False


def truth() -> dict[str, NDArray[np.float64]]:
    """Return values by quantity, (n_times, n_levels, n_rows, n_columns), rows from the north."""
    rows, columns = np.indices((3, 5), dtype=np.float64)
    plane = rows + 0.1 * columns
    found = {}
    for name, of in (("gph_m", 0), ("t_k", 1), ("u_mps", None), ("v_mps", None)):
        base = [AIR[p][of] if of is not None else 10.0 + p / 1e4 for p in AIR]
        found[name] = np.array([[b + t + plane for b in base] for t in (1.0, 2.0)])
    return found


def write(path: Path, spelling: Spelling) -> tuple[Path, dict[str, NDArray[np.float64]]]:
    """Write a forecast of two times and three levels; return the path and the values in it."""
    expected = truth()
    kind: Any = "NETCDF3_CLASSIC" if spelling.classic else "NETCDF4"
    with netCDF4.Dataset(path, "w", format=kind) as dataset:
        order = _dimensions(dataset, spelling)
        _coordinates(dataset, spelling)
        for short, ours in _OURS.items():
            values = expected[ours] * (_G if short == "z" else 1.0)
            _variable(dataset, spelling, short, (values, order))
    return path, expected


def _spelt(spelling: Spelling, name: str) -> str:
    return name if spelling.names else f"axis{len(name)}"


def _dimensions(dataset: Any, spelling: Spelling) -> tuple[str, ...]:
    sizes = {"time": 2, "level": 3, "latitude": 3, "longitude": 5}
    for name, n in sizes.items():
        dataset.createDimension(_spelt(spelling, name), n)
    if spelling.members:
        dataset.createDimension("number", spelling.members)
    if spelling.loose:
        dataset.createDimension("scenario", 2)
    extra = ("number",) * bool(spelling.members) + ("scenario",) * spelling.loose
    return (*extra, *spelling.order)


def _coordinates(dataset: Any, spelling: Spelling) -> None:
    lats = np.array([50.0, 48.0, 40.0] if spelling.uneven else [50.0, 45.0, 40.0])
    lons = np.array([10.0, 15.0, 20.0, 25.0, 30.0])
    unit, factor = spelling.level
    hours, scale, added = spelling.time
    values = {
        "time": (np.array([3600.0, 7200.0]) * scale + added, hours),
        "level": (np.array([500.0, 100.0, 10.0]) * factor, unit),
        "latitude": (lats if spelling.north_first else lats[::-1], "degrees_north"),
        "longitude": (lons if spelling.west_first else lons[::-1], "degrees_east"),
    }
    if spelling.lead:
        values["time"] = (np.array([1.0, 2.0]), "hours")
    for name, (numbers, word) in values.items():
        flat = spelling.two_dimensional and name == "latitude"
        where = ("latitude", "longitude") if flat else (_spelt(spelling, name),)
        variable = dataset.createVariable(_spelt(spelling, name), "f8", where)
        variable[...] = np.repeat(numbers[:, None], 5, axis=1) if flat else numbers
        variable.units = word
    if spelling.lead:
        dataset["time"].standard_name = "forecast_period"
    if spelling.run_h is not None or spelling.lead:
        run = dataset.createVariable("reference", "f8", ())
        run[...] = spelling.run_h or 0.0
        run.units, run.standard_name = "hours since 2020-01-01", "forecast_reference_time"
    if spelling.members:
        number = dataset.createVariable("number", "i4", ("number",))
        number[:] = np.arange(spelling.members)
        number.standard_name = "realization"


def _variable(
    dataset: Any,
    spelling: Spelling,
    short: str,
    told: tuple[NDArray[np.float64], tuple[str, ...]],
) -> None:
    values, order = told
    values = values if spelling.north_first else values[:, :, ::-1]
    values = values if spelling.west_first else values[..., ::-1]
    values = values.transpose([DIMENSIONS.index(name) for name in spelling.order])
    where = tuple(_spelt(spelling, name) for name in order)
    options: dict[str, Any] = {"fill_value": -32767} if spelling.packed else {}
    name = short if not spelling.standard or spelling.names else f"var_{short}"
    variable = dataset.createVariable(name, "i2" if spelling.packed else "f4", where, **options)
    if spelling.packed:
        variable.scale_factor = (values.max() - values.min()) / 60_000.0 or 1.0
        variable.add_offset = 0.5 * float(values.max() + values.min())
    variable.units = spelling.unit[1] if spelling.unit[0] == short else _UNITS[short]
    if spelling.standard:
        turned = {"u": "x_wind", "v": "y_wind"} if spelling.along_grid else {}
        variable.standard_name = turned.get(short, _STANDARD[short])
    variable[...] = np.broadcast_to(values, variable.shape)
