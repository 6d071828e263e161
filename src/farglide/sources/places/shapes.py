"""Shapes as every file of places holds them, before they are fields, barriers or landmarks."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Corner = tuple[float, float, float | None]
"""Longitude, latitude and, where the file states it, metres above mean sea level."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A point, a line or the outer ring of an area, and what the file says of it.

    `n_holes`: rings inside an area that were left out. `where`: in the file, for messages.
    """

    form: Literal["point", "line", "area"]
    corners: tuple[Corner, ...]
    where: str
    says: Mapping[str, object] = field(default_factory=dict)
    n_holes: int = 0
