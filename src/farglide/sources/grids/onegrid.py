"""One grid: the rows and columns that all fields of a choice share, as far as they are wanted."""

from collections.abc import Sequence
from typing import Final

from farglide.earth.box import Box
from farglide.sources.files import refused
from farglide.sources.grids.cut import Cut, cut
from farglide.sources.grids.field import Field
from farglide.sources.grids.lambert import LambertCut, lambert_cut
from farglide.sources.grids.layout import EvenLayout, LambertLayout

Ground = Cut | LambertCut
_APART: Final = 0.05
"""Of a step: by so much two headers of one grid may differ in their rounding."""


def one_grid(fields: Sequence[Field], box: Box | None) -> Ground:
    """Return rows and columns that cover the box; raise unless all fields are on one grid."""
    first = fields[0]
    for one in fields:
        if one.layout is not first.layout and not is_same(one, first):
            what = f"is on another grid than message {first.message + 1} of {first.path}."
            remedy = "Fetch the forecast on one grid, or read the files one by one."
            raise refused(one.path, what, remedy, where=f"message {one.message + 1}")
    if isinstance(first.layout, EvenLayout):
        return cut(first.path, first.layout, box)
    if isinstance(first.layout, LambertLayout):
        return lambert_cut(first.path, first.layout, box)
    raise refused(first.path, "tells no grid.", "Fetch it on a latitude/longitude grid.")


def is_same(one: Field, other: Field) -> bool:
    """Tell whether two layouts are one, by headers that may count longitudes in two ways."""
    a, b = one.layout, other.layout
    if not (isinstance(a, EvenLayout) and isinstance(b, EvenLayout)):
        return a == b
    if (a.n_rows, a.n_columns) != (b.n_rows, b.n_columns):
        return False
    apart_deg = abs((a.west_deg - b.west_deg + 180.0) % 360.0 - 180.0)
    edges_deg = (abs(a.north_deg - b.north_deg), abs(a.south_deg - b.south_deg), apart_deg)
    width_deg = abs(a.lon_step_deg - b.lon_step_deg) * a.n_columns
    return max(*edges_deg, width_deg) < _APART * a.lon_step_deg
