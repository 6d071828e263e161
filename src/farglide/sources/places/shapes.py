"""Shapes as every file of places holds them, before they are fields, barriers or landmarks."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final, Literal

from farglide.sources.files import refused

Corner = tuple[float, float, float | None]
"""Longitude, latitude and, where the file states it, metres above mean sea level."""

MOST_CORNERS: Final = 200_000
"""In one file: the outlines of a flight's area need a few thousand."""


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


def check_count(path: str, n_corners: int) -> None:
    """Refuse a file with more corners than any flight needs."""
    if n_corners > MOST_CORNERS:
        what = f"holds {n_corners} corners; allowed: {MOST_CORNERS}."
        raise refused(path, what, "Cut it down to the area of the flight.")
