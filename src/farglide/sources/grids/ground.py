"""Ground: pressure and height of the model's ground, and from there model levels to pressures."""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.sources.files import utc_words
from farglide.sources.grids.field import Field, Moment
from farglide.sources.grids.modellevels import (
    HybridLevels,
    at_pressures,
    full_pa,
    heights_gpm,
    hybrid_levels,
    virtual_k,
)
from farglide.sources.grids.stack import Planes, Stack
from farglide.sources.levels.levels import Report

_REMEDY = "Fetch it with the logarithm of surface pressure and the surface geopotential (lnsp, z)."


class _Ground(NamedTuple):
    """Pressure and geopotential height of the ground, (n_rows, n_columns)."""

    p_pa: FloatArray
    gph_m: FloatArray


def on_pressures(
    stack: Stack, fields: Sequence[Field], planes: Planes, least_p_pa: float | None, report: Report
) -> Stack:
    """Return a stack on model levels as one on the pressures these have over a ground at sea level.

    High up, where levels do not bend with the ground, values stay as they are; below they are
    linear in the logarithm of pressure. `fields` are all of the files, among them the ground's.
    """
    choice = stack.choice
    first = choice.fields[0]
    levels = hybrid_levels(first.path, first.coefficients, choice.levels)
    wanted_pa = levels.standard_pa
    wanted_pa = wanted_pa[wanted_pa >= (least_p_pa or 0.0)]
    names = ("gph_m", *stack.values)
    shape = stack.values["t_k"].shape
    found = {
        name: np.full((*shape[:2], len(wanted_pa), *shape[3:]), np.nan, np.float32)
        for name in names
    }
    for m, member in enumerate(choice.members):
        for t, valid_s in enumerate(choice.times_s):
            ground = _ground(fields, Moment(member, valid_s), planes, report)
            part = {name: values[m, t] for name, values in stack.values.items()}
            for name, values in _converted(levels, part, ground, wanted_pa).items():
                found[name][m, t] = values
    _note(found["gph_m"], levels, wanted_pa, report)
    choice = replace(choice, levels=tuple(wanted_pa.tolist()))
    return Stack(choice=choice, values=found)


def _converted(
    levels: HybridLevels,
    part: dict[str, SingleArray],
    ground: _Ground,
    wanted_pa: FloatArray,
) -> dict[str, SingleArray]:
    """Return the fields of one member and time at the pressures wanted, with heights."""
    half_pa = levels.half_pa(ground.p_pa)
    warm_k = virtual_k(part["t_k"], part.get("q_ratio"))
    planes = {name: plane.astype(np.float64) for name, plane in part.items()}
    planes["gph_m"] = heights_gpm(half_pa, warm_k, ground.gph_m)
    return at_pressures(full_pa(half_pa), planes, wanted_pa)


def _ground(fields: Sequence[Field], moment: Moment, planes: Planes, report: Report) -> _Ground:
    """Return pressure and geopotential height of the ground, for one member and time."""
    at = [one for one in fields if one.moment == moment and _is_of_ground(one)]
    pressure = [one for one in at if one.quantity in ("log_p_pa", "p_pa")]
    if not pressure:
        when = f"member {moment.member} at {utc_words(moment.valid_s)}"
        raise report.error(f"tells no pressure of the ground for {when}.", _REMEDY)
    ((_, plane),) = planes([max(pressure, key=lambda one: one.run_s)])
    heights = [one for one in fields if one.quantity == "gph_m" and _is_of_ground(one)]
    if not heights:
        raise report.error("tells no height of the ground.", _REMEDY)
    # The ground does not move: its height may stand at the first hour alone.
    best = min(heights, key=lambda one: (one.moment != moment, one.member != moment.member))
    ((_, ground_gpm),) = planes([best])
    told = plane.astype(np.float64)
    # Held to 20, 485 MPa: what is damaged must not overflow before it is refused.
    logarithm = pressure[0].quantity == "log_p_pa"
    ground_pa = np.exp(np.minimum(told, 20.0)) if logarithm else told
    if not ((ground_pa > 3.0e4) & (ground_pa < 1.2e5)).all():
        what = f"has pressures of the ground from {ground_pa.min():g} to {ground_pa.max():g} Pa."
        raise report.error(what, "Check which field is the logarithm of surface pressure.")
    if not ((ground_gpm > -1000.0) & (ground_gpm < 9000.0)).all():
        what = f"has heights of the ground from {ground_gpm.min():g} to {ground_gpm.max():g} m."
        raise report.error(what, "Check which field is the geopotential of the ground.")
    return _Ground(ground_pa, ground_gpm.astype(np.float64))


def _is_of_ground(one: Field) -> bool:
    """Tell whether a field is of the ground; some files keep these on the first model level."""
    return one.kind == "surface" or (one.kind == "model" and one.level == 1.0)


def _note(gph_m: SingleArray, levels: HybridLevels, wanted_pa: FloatArray, report: Report) -> None:
    n = len(levels.standard_pa)
    report.note(f"{n} model levels brought to pressures; heights summed from the model's ground")
    below = np.isnan(gph_m).any(axis=(0, 1, 3, 4)).sum()
    report.count(below, "below the model's ground at some points: unknown there", "level")
