"""Forecasts over an area in GRIB."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from farglide.air.windgrid import WindGrid
from farglide.arrays import SingleArray
from farglide.earth.box import Box
from farglide.sources.grids.choice import Choice, chosen
from farglide.sources.grids.field import Field
from farglide.sources.grids.finish import finished, origin_words
from farglide.sources.grids.gribfile import GribFile, check_readable, open_grib
from farglide.sources.grids.ground import on_pressures
from farglide.sources.grids.lambert import LambertCut
from farglide.sources.grids.layout import LambertLayout
from farglide.sources.grids.onegrid import Ground, one_grid
from farglide.sources.grids.stack import Shape, Stack, by_file, stacked
from farglide.sources.grids.wanted import Wanted
from farglide.sources.levels.levels import Report

_FOUR = "Fetch height, temperature and both winds on pressure levels from 1000 hPa up."


def read_grib_grid(paths: Sequence[Path], wanted: Wanted) -> WindGrid:
    """Return the forecast of some GRIB files, on pressure levels or on model levels."""
    files = {str(path): open_grib(path) for path in paths}
    useful = [one for file in files.values() for one in file.useful]
    report = Report(path=", ".join(files), noun="field", origin="")
    choice = chosen(useful, "pressure", wanted, report)
    if choice is not None:
        stack, ground = _read(files, choice, wanted.box, report)
    else:
        lacking = tuple(report.notes[:3])
        report = replace(report, notes=[])
        stack, ground = _from_model_levels(files, useful, wanted, report, lacking)
    origin = origin_words(stack.choice.run_s, stack.choice.fields[0].centre)
    return finished(stack, ground, replace(report, origin=origin))


def _from_model_levels(
    files: dict[str, GribFile],
    useful: list[Field],
    wanted: Wanted,
    report: Report,
    lacking: tuple[str, ...],
) -> tuple[Stack, Ground]:
    """Return what levels of the model tell; `lacking` is why no level of pressure does."""
    choice = chosen(useful, "model", wanted, report)
    if choice is None:
        named = "; ".join((*lacking, *report.notes[:3]))
        what = "has no pressure level with height, temperature and both winds"
        raise report.error(what + (f" ({named})." if named else "."), _FOUR)
    stack, ground = _read(files, choice, wanted.box, report)
    planes = partial(_planes, files, ground)
    return on_pressures(stack, useful, planes, wanted.least_p_pa, report), ground


def _read(
    files: dict[str, GribFile], choice: Choice, box: Box | None, report: Report
) -> tuple[Stack, Ground]:
    for path, some in by_file(choice.fields):
        check_readable(Path(path), some)
    ground = one_grid(choice.fields, box)
    shape = Shape(len(ground.lat_deg), len(ground.lon_deg))
    stack = stacked(choice, partial(_planes, files, ground), shape, report)
    layout = choice.fields[0].layout
    if isinstance(ground, LambertCut) and isinstance(layout, LambertLayout):
        step = ground.lat_deg[1] - ground.lat_deg[0]
        told = f"Lambert conformal map brought to steps of {step:g} degrees"
        turned = ", its winds turned to true north" if layout.along_grid else ""
        report.note(told + turned)
        if layout.along_grid:
            u, v = ground.turned(stack.values["u_mps"], stack.values["v_mps"])
            return replace(stack, values=stack.values | {"u_mps": u, "v_mps": v}), ground
    return stack, ground


def _planes(
    files: dict[str, GribFile], ground: Ground, fields: Sequence[Field]
) -> Iterator[tuple[Field, SingleArray]]:
    """Yield fields with their values on the rows and columns of the grid, file by file."""
    for path, some in by_file(fields):
        for one, plane in files[path].planes(some):
            yield one, ground.of(plane)
