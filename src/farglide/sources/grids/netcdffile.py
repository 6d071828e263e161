"""NetCDF files: which fields are in one, and their values."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.earth.clock import seconds_from_datetime
from farglide.errors import SourceError
from farglide.sources.files import beginning, content, refused
from farglide.sources.grids.cf import (
    ALONG_GRID,
    PRESSURES,
    SECONDS,
    Axis,
    Conversion,
    attribute,
    axis_of,
    quantity_of,
)
from farglide.sources.grids.field import Field
from farglide.sources.grids.layout import EvenLayout
from farglide.sources.quiet import quiet
from farglide.sources.soundings.netcdf_length import check_length

NO_RUN_S: Final = -1e18
"""The run of a file that does not say it; older than any."""
_MOST_VALUES: Final = 100_000_000
_LARGEST_BYTES: Final = 2_000_000_000
_MOST_FIELDS: Final = 500_000
_LARGEST_BLOCK: Final = 1_000_000_000
_LEAST_CACHE: Final = 16_000_000  # the library's own
_AT_ONCE: Final = 200
"""Fields that are read before they are laid into the grid."""
_UNEVEN: Final = 1e-3  # of a step; files round their degrees to a millionth
_FETCH: Final = "Fetch it again, as binary."


@dataclass(frozen=True, slots=True)
class Coordinate:
    """A coordinate: what it counts, along which dimension (none for a single value), and where."""

    axis: Axis
    dimension: str
    values: FloatArray


class Where(NamedTuple):
    """Where in the file the values of a field are, and what brings them to our unit and order."""

    variable: str
    at: dict[str, int]  # place by dimension
    rows: str  # the dimension of latitudes
    columns: str
    turn_rows: bool
    turn_columns: bool
    conversion: Conversion


class _What(NamedTuple):
    """What a variable tells: its name, the quantity, and what brings it to our unit."""

    variable: str
    quantity: str
    conversion: Conversion


@dataclass(frozen=True, slots=True, kw_only=True)
class NetcdfFile:
    """A file and the headers of all its fields of use."""

    path: Path
    fields: tuple[Field, ...]

    def planes(self, wanted: Sequence[Field]) -> Iterator[tuple[Field, SingleArray]]:
        """Yield each of these fields with its values, NaN where it tells none.

        Rows come from the north to the south, columns from the west to the east.
        """
        for first in range(0, len(wanted), _AT_ONCE):
            yield from self._read(wanted[first : first + _AT_ONCE])

    def _read(self, wanted: Sequence[Field]) -> list[tuple[Field, SingleArray]]:
        import netCDF4

        try:
            with quiet(), netCDF4.Dataset(str(self.path), "r") as dataset:
                for name in {one.where.variable for one in wanted if isinstance(one.where, Where)}:
                    _keep_block(self.path, name, dataset[name])
                return [(one, _plane(dataset, one)) for one in wanted]
        except SourceError:
            raise
        except Exception as error:  # a damaged file fails anywhere in the C library below
            raise refused(self.path, f"cannot be read as NetCDF: {error}.", _FETCH) from error


def open_netcdf(path: Path) -> NetcdfFile:
    """Return what is in a NetCDF file; raise where it cannot be read or is on no even grid."""
    import netCDF4

    if beginning(path, 3) == b"CDF":  # the other format is checked by its library
        check_length(path, content(path, _LARGEST_BYTES))
    try:
        with quiet(), netCDF4.Dataset(str(path), "r") as dataset:
            return NetcdfFile(path=path, fields=tuple(_fields(dataset, path)))
    except SourceError:
        raise
    except Exception as error:  # a damaged file fails anywhere in the C library below
        raise refused(path, f"cannot be read as NetCDF: {error}.", _FETCH) from error


def _fields(dataset: Any, path: Path) -> Iterator[Field]:
    coordinates = _coordinates(dataset, path)
    for name, variable in dataset.variables.items():
        if attribute(variable, "standard_name") in ALONG_GRID:
            what = f"has winds along a turned grid ({attribute(variable, 'standard_name')})."
            raise refused(
                path, what, "Fetch eastward and northward wind.", where=f"variable {name}"
            )
        quantity = quantity_of(name, variable)
        if quantity is None or len(variable.dimensions) < 2:
            continue
        own = _own(path, name, variable, coordinates)
        if own is None:
            continue
        unit = attribute(variable, "units")
        if unit not in quantity.units:
            what = f"has the unit {unit!r}; allowed: {', '.join(filter(None, quantity.units))}."
            remedy = "Convert it, or write the unit down if it is missing."
            raise refused(path, what, remedy, where=f"variable {name}")
        yield from _fields_of(path, _What(name, quantity.name, quantity.units[unit]), own)


def _coordinates(dataset: Any, path: Path) -> list[Coordinate]:
    """Return all coordinates of one dimension or none."""
    found = []
    for name, variable in dataset.variables.items():
        axis = axis_of(name, variable)
        if axis is None or quantity_of(name, variable) is not None:
            continue
        if len(variable.dimensions) > 1:
            if axis in ("lat", "lon"):
                what = "changes along both rows and columns, as on a turned or projected grid."
                remedy = "Fetch the forecast on a regular latitude/longitude grid."
                raise refused(path, what, remedy, where=f"variable {name}")
            continue
        if prod(variable.shape) > _MOST_FIELDS:
            what = f"announces {prod(variable.shape)} values; allowed: {_MOST_FIELDS}."
            raise refused(path, what, _FETCH, where=f"variable {name}")
        dimension = variable.dimensions[0] if variable.dimensions else ""
        found.append(Coordinate(axis, dimension, _values(variable, axis)))
    return found


def _values(variable: Any, axis: Axis) -> FloatArray:
    """Return a coordinate in pascals, degrees, or seconds since 1970 or of lead."""
    raw = np.ma.filled(np.ma.masked_invalid(np.ma.asarray(variable[...], np.float64)), np.nan)
    values = np.atleast_1d(np.asarray(raw, np.float64)).ravel()
    unit = attribute(variable, "units")
    if axis == "level":
        return values * PRESSURES[unit]
    if axis == "lead":
        return values * SECONDS[unit.split(" since ")[0]]
    if axis in ("time", "run"):
        return _utc_s(values, variable)
    return values


def _utc_s(values: FloatArray, variable: Any) -> FloatArray:
    from datetime import UTC

    import netCDF4

    calendar = attribute(variable, "calendar") or "standard"
    unit = str(variable.getncattr("units"))
    options = {"only_use_cftime_datetimes": False, "only_use_python_datetimes": True}
    dates: Any = np.atleast_1d(np.asarray(netCDF4.num2date(values, unit, calendar, **options)))
    return np.array([seconds_from_datetime(one.replace(tzinfo=UTC)) for one in dates])


def _own(
    path: Path, name: str, variable: Any, coordinates: Sequence[Coordinate]
) -> dict[Axis, Coordinate] | None:
    """Return the coordinates of a variable by what they count; None where it is on no levels."""
    own: dict[Axis, Coordinate] = {}
    for one in coordinates:
        inside = one.dimension in variable.dimensions
        if inside or (not one.dimension and one.axis not in own):
            own[one.axis] = one
    if (
        "level" not in own
        or "lat" not in own
        or "lon" not in own
        or not {"time", "run"} & own.keys()
    ):
        return None
    told = {one.dimension for one in own.values()}
    loose = [
        dimension
        for dimension, n in zip(variable.dimensions, variable.shape, strict=True)
        if n > 1 and dimension not in told
    ]
    if loose:
        what = f"has the dimension {', '.join(loose)}, which no coordinate explains."
        remedy = "Write a coordinate with its standard name or unit for each dimension."
        raise refused(path, what, remedy, where=f"variable {name}")
    return own


def _fields_of(path: Path, what: _What, own: dict[Axis, Coordinate]) -> Iterator[Field]:
    """Yield a header for each plane of a variable."""
    name, quantity, conversion = what
    layout, turned = _layout(path, own)
    axes: list[Axis] = [axis for axis in ("time", "run", "lead", "member", "level") if axis in own]
    n_fields = prod(len(own[axis].values) for axis in axes)
    if n_fields > _MOST_FIELDS or layout.n_rows * layout.n_columns > _MOST_VALUES:
        told = f"{n_fields} fields of {layout.n_rows} times {layout.n_columns} points"
        raise refused(path, f"announces {told}.", _FETCH, where=f"variable {name}")
    for places in product(*(range(len(own[axis].values)) for axis in axes)):
        at = dict(zip(axes, places, strict=True))
        value = {axis: float(own[axis].values[place]) for axis, place in at.items()}
        if not np.isfinite(list(value.values())).all():
            continue
        valid_s, run_s = _moment(value, own)
        index = {own[axis].dimension: place for axis, place in at.items() if own[axis].dimension}
        yield Field(
            quantity=quantity,
            level=round(value["level"], 6),
            valid_s=valid_s,
            run_s=run_s,
            member=f"{value['member']:g}" if "member" in value else "control",
            layout=layout,
            path=str(path),
            where=Where(
                name, index, own["lat"].dimension, own["lon"].dimension, *turned, conversion
            ),
        )


def _moment(value: dict[Axis, float], own: dict[Axis, Coordinate]) -> tuple[float, float]:
    """Return when a field is valid and when its run began.

    A time beside a lead that is a dimension of its own is the run's.
    """
    start_s = value.get("run", value.get("time", 0.0))
    if "time" not in value or ("run" not in own and "lead" in own and own["lead"].dimension):
        return start_s + value.get("lead", 0.0), start_s
    if "run" in value:
        return value["time"], value["run"]
    return value["time"], value["time"] - value["lead"] if "lead" in value else NO_RUN_S


def _layout(path: Path, own: dict[Axis, Coordinate]) -> tuple[EvenLayout, tuple[bool, bool]]:
    """Return where the points lie, and whether rows and columns are to be turned round."""
    steps = {}
    for axis in ("lat", "lon"):
        values = own[axis].values
        gaps = np.diff(values)
        gaps = (gaps + 180.0) % 360.0 - 180.0 if axis == "lon" else gaps
        if len(gaps) < 1 or not np.isfinite(gaps).all() or gaps.mean() == 0.0:
            raise refused(path, "has fewer than two rows or columns.", "Fetch a larger area.")
        if np.ptp(gaps) > _UNEVEN * abs(gaps.mean()):
            what = f"has steps of {gaps.min():g} to {gaps.max():g} degrees in {axis}."
            remedy = "Fetch the forecast on a regular latitude/longitude grid."
            raise refused(path, what, remedy)
        steps[axis] = float(gaps.mean())
    lat, lon = own["lat"].values, own["lon"].values
    if np.abs(lat).max() > 90.0 + 1e-6:
        raise refused(path, f"has latitudes up to {np.abs(lat).max():g}.", _FETCH)
    layout = EvenLayout(
        n_rows=len(lat),
        n_columns=len(lon),
        north_deg=float(lat.max()),
        south_deg=float(lat.min()),
        west_deg=float(lon[0] if steps["lon"] > 0.0 else lon[-1]),
        lon_step_deg=abs(steps["lon"]),
    )
    return layout, (steps["lat"] > 0.0, steps["lon"] < 0.0)


def _keep_block(path: Path, name: str, variable: Any) -> None:
    """Make room for a block of values as it is packed in the file: else each plane unpacks it anew.

    Raises where a block announces more than the memory should hold: 7 kB of file may say 15 GB.
    """
    blocks = variable.chunking()
    if not isinstance(blocks, list):
        return
    n_bytes = prod(blocks) * getattr(variable.dtype, "itemsize", 8)
    if n_bytes > _LARGEST_BLOCK:
        what = f"is kept in blocks of {prod(blocks)} values."
        raise refused(path, what, "Write it in smaller blocks.", where=f"variable {name}")
    variable.set_var_chunk_cache(size=max(2 * n_bytes, _LEAST_CACHE))


def _plane(dataset: Any, one: Field) -> SingleArray:
    """Return the values of one field, rows from the north and columns from the west."""
    where = one.where
    if not isinstance(where, Where):
        raise refused(one.path, "tells no place of a field.", _FETCH)
    variable, both = dataset[where.variable], [where.rows, where.columns]
    chosen = tuple(
        slice(None) if dimension in both else where.at.get(dimension, 0)
        for dimension in variable.dimensions
    )
    values = np.ma.filled(np.ma.asarray(variable[chosen], np.float64), np.nan)
    plane = values if [d for d in variable.dimensions if d in both] == both else values.T
    plane = plane[::-1] if where.turn_rows else plane
    plane = plane[:, ::-1] if where.turn_columns else plane
    return np.asarray(plane * where.conversion.factor + where.conversion.added, np.float32)
