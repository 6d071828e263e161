"""Finish: from a stack of values to a WindGrid."""

from typing import Final, Protocol

import numpy as np

from farglide.air.windgrid import WindGrid
from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.sources.files import utc_words
from farglide.sources.grids.humidity import relative_humidity
from farglide.sources.grids.stack import Stack
from farglide.sources.levels.levels import Report, counted

CENTRES: Final = {
    7: "NCEP", 34: "Tokyo", 54: "Montreal", 74: "Exeter", 78: "Offenbach", 85: "Toulouse",
    98: "ECMWF",
}  # fmt: skip
"""Who made a forecast. Source: WMO-No. 306, common code table C-1 (from memory)."""


class Ground(Protocol):
    """What has the axes of a grid."""

    @property
    def lat_deg(self) -> FloatArray: ...

    @property
    def lon_deg(self) -> FloatArray: ...


def origin_words(run_s: float, centre: int) -> str:
    """Return when and by whom a forecast was made, in words.

    >>> origin_words(0.0, 7)
    'forecast run 1970-01-01 00:00 UTC of NCEP'
    """
    who = CENTRES.get(centre, f"centre {centre} of WMO table C-1")
    return f"forecast run {utc_words(run_s)}" + (f" of {who}" if centre >= 0 else "")


def finished(stack: Stack, ground: Ground, report: Report) -> WindGrid:
    """Return the grid of a stack on levels of pressure, with the notes of its report."""
    choice = stack.choice
    p_pa = np.array(choice.levels)
    humidity = relative_humidity(stack.values, p_pa)
    if humidity is not None:
        untold = np.isnan(humidity).all(axis=(0, 1, 3, 4)).sum()
        report.count(untold, "without humidity", "level")
    span = f"{p_pa[0] / 100:g} to {p_pa[-1] / 100:g} hPa"
    report.note(f"{counted(len(p_pa), 'pressure level')}, {span}")
    try:
        return WindGrid(
            times_s=np.array(choice.times_s),
            p_pa=p_pa,
            lat_deg=ground.lat_deg,
            lon_deg=ground.lon_deg,
            gph_m=stack.values["gph_m"],
            t_k=stack.values["t_k"],
            u_mps=stack.values["u_mps"],
            v_mps=stack.values["v_mps"],
            relative_humidity_ratio=humidity,
            members=choice.members,
            run_t_s=choice.run_s,
            origin=report.origin,
            notes=tuple(report.notes),
        )
    except InputError as error:
        raise report.error(str(error), "Fetch the forecast again.") from error
