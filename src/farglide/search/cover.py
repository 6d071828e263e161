"""Cover: what stands on the ground, how wide one sees something small in it, how fast one walks."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.atlas.barriers import Barrier
from farglide.atlas.fields import Field
from farglide.atlas.outline import contains
from farglide.errors import InputError, check_range


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """One kind of ground: how wide one sees, how fast one walks while looking, if at all.

    `is_walked` is false where nobody looks on foot: it is told, and looked at from its edge.
    """

    name: str
    sweep_m: float
    speed_mps: float
    is_walked: bool = True

    def __post_init__(self) -> None:
        remedy = "Walk away from the glider until it is lost from sight, and take 1.6 times that."
        check_range(f"sweep width in {self.name}", self.sweep_m, "m", (0.5, 1000.0), remedy)
        check_range(f"speed in {self.name}", self.speed_mps, "m/s", (0.05, 3.0))


GRASS: Final = "grass"
BUSH: Final = "bush"
CROP: Final = "standing crop"
FOREST: Final = "forest"
USUAL: Final = (
    Cover(name=GRASS, sweep_m=60.0, speed_mps=1.0),
    Cover(name=BUSH, sweep_m=30.0, speed_mps=0.7),
    Cover(name=CROP, sweep_m=7.5, speed_mps=0.5),
    Cover(name=FOREST, sweep_m=15.0, speed_mps=0.5),
    Cover(name="water", sweep_m=60.0, speed_mps=1.0, is_walked=False),
    Cover(name="gorge", sweep_m=15.0, speed_mps=0.3, is_walked=False),
    Cover(name="border", sweep_m=30.0, speed_mps=0.7, is_walked=False),
)
"""Sweep widths for a small glider: grass 60 m, bush 30 m, standing crop 5 to 10 m (from memory,
common practice); forest and speeds are guesses of common practice, no source."""
_OF_BARRIER: Final = {
    "water": "water", "closed forest": FOREST, "gorge": "gorge", "border": "border", "town": BUSH,
}  # fmt: skip
_OF_WORDS: Final = (
    (("crop", "maize", "corn", "wheat", "barley", "rape", "rye"), CROP),
    (("heath", "bush", "shrub", "fallow"), BUSH),
    (("grass", "mown", "pasture", "meadow", "lea", "lawn", "strip"), GRASS),
)


def cover_named(name: str) -> Cover:
    """Return the usual cover of a name, of which the beginning is enough."""
    wanted = name.strip().casefold()
    found = [
        one
        for one in USUAL
        if wanted and (one.name.startswith(wanted) or wanted in one.name.split())
    ]
    if len(found) != 1 or not found[0].is_walked:
        listed = ", ".join(one.name for one in USUAL if one.is_walked)
        raise InputError("cover", repr(name), listed)
    return found[0]


def covers_at(
    lat_deg: FloatArray,
    lon_deg: FloatArray,
    barriers: Sequence[Barrier],
    fields: Sequence[Field],
    elsewhere: Cover,
) -> tuple[IntArray, tuple[Cover, ...]]:
    """Return the index of the cover at each point, and the covers that the indices count.

    What barriers and the words about fields tell; `elsewhere` is taken where neither does.
    Shapes: (n_points,).
    """
    covers = (elsewhere, *(one for one in USUAL if one.name != elsewhere.name))
    index = {one.name: k for k, one in enumerate(covers)}
    found = np.zeros(lat_deg.shape, np.int64)
    for field in fields:
        words = field.surface.casefold()
        told = next((name for keys, name in _OF_WORDS if any(k in words for k in keys)), None)
        if field.outline is not None and told is not None:
            found[contains(field.outline, lat_deg, lon_deg)] = index[told]
    for barrier in barriers:
        if barrier.kind in _OF_BARRIER:
            inside = contains(barrier.outline, lat_deg, lon_deg)
            found[inside] = index[_OF_BARRIER[barrier.kind]]
    return found, covers
