"""Forecasts over an area in NetCDF."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from farglide.air.windgrid import WindGrid
from farglide.arrays import SingleArray
from farglide.sources.grids.choice import chosen
from farglide.sources.grids.field import Field
from farglide.sources.grids.finish import finished, origin_words
from farglide.sources.grids.netcdffile import NO_RUN_S, NetcdfFile, open_netcdf
from farglide.sources.grids.onegrid import Ground, one_grid
from farglide.sources.grids.stack import Shape, by_file, stacked
from farglide.sources.grids.wanted import Wanted
from farglide.sources.levels.levels import Report


def read_netcdf_grid(paths: Sequence[Path], wanted: Wanted) -> WindGrid:
    """Return the forecast of some NetCDF files on levels of pressure."""
    files = {str(path): open_netcdf(path) for path in paths}
    fields = [one for file in files.values() for one in file.fields]
    report = Report(path=", ".join(files), noun="field", origin="")
    choice = chosen(fields, "pressure", wanted, report)
    if choice is None:
        named = "; ".join(report.notes[:3])
        what = "has no pressure level with height, temperature and both winds"
        remedy = "Fetch these four, with standard names and units, on pressure levels."
        raise report.error(what + (f" ({named})." if named else "."), remedy)
    ground = one_grid(choice.fields, wanted.box)
    shape = Shape(len(ground.lat_deg), len(ground.lon_deg))
    stack = stacked(choice, partial(_planes, files, ground), shape, report)
    if choice.run_s == NO_RUN_S:
        choice = replace(choice, run_s=float("nan"))
        report.note("the file does not say when the forecast was made")
    origin = origin_words(choice.run_s, -1)
    return finished(replace(stack, choice=choice), ground, replace(report, origin=origin))


def _planes(
    files: dict[str, NetcdfFile], ground: Ground, fields: Sequence[Field]
) -> Iterator[tuple[Field, SingleArray]]:
    """Yield fields with their values on the rows and columns of the grid, file by file."""
    for path, some in by_file(fields):
        for one, plane in files[path].planes(some):
            yield one, ground.of(plane)
