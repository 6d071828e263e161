"""Coverage: one link round one stand: what is in hand where, how far it holds, what ends it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from farglide.atlas.fields import Field
from farglide.atlas.terrain import LOWEST_GROUND_M, Terrain, flat, height_amsl_m
from farglide.earth.geodesy import destination
from farglide.earth.state import Place
from farglide.errors import InputError, check_range
from farglide.sim.coverage import (
    FINE_STEP_DEG,
    Level,
    Patch,
    clears_all_ground,
    coverage_db,
    points_db,
)
from farglide.sim.ears import Ears, Waves, ears_of, waves_of, without_ground
from farglide.sim.workers import Workers, in_one_go
from farglide.sortie.linkgear import gear_of
from farglide.sortie.listening import lowest_amsl_m, mast_of
from farglide.sortie.spec import LinkSpec, Sortie, StandSpec

FloatArray = NDArray[np.float64]
Named = TypeVar("Named", LinkSpec, StandSpec)

STEPS_DB: Final = (0.0, 3.0, 10.0)
"""From which margins on a step of the picture begins; below the first the link is lost."""
UNKNOWN: Final = -1
_N_SAMPLES: Final = 600
_LESS_DB: Final = (0.0, 60.0)
_BLAMED_DB: Final = 3.0
"""More than this the pattern takes where it is named as what ends a link."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverageAsked:
    """What is asked for: a link and a stand by their names, how high the glider is, how far off.

    `less_db`: taken off every margin, for an antenna that is bent, ill aimed or wet.
    """

    link: str
    stand: str
    level: Level
    less_db: float = 0.0
    radius_m: float = 60_000.0
    n_cells: int = 400

    def __post_init__(self) -> None:
        check_range("less_db", self.less_db, "dB", _LESS_DB, "A loss is above 0.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ray:
    """How far a link holds in one direction, looked at every six-hundredth of the radius.

    `from_m` to `to_m` is the first stretch on which it holds, NaN where there is none. `end`, what
    ends it there: "edge" of the area, "range", "ground" (in the way, or higher than the glider),
    "antenna" (its pattern, where that takes more than 3 dB), or "unknown" ground beyond. `left_db`:
    what is left at `to_m`. `again_m`: the last place farther out where it holds again.
    """

    bearing_deg: float
    from_m: float
    to_m: float
    end: str
    left_db: float
    again_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """One link over an area.

    `margins_db` (n_rows, n_columns): NaN without an answer. `is_high`: so high is the glider that
    ground beyond the files cannot stand in the way, and need not be known.
    """

    name: str
    link: LinkSpec
    sd_db: float  # the doubt about its budget, that of its antennas in it
    stand: StandSpec
    mast: Place
    asked: CoverageAsked
    patch: Patch
    margins_db: NDArray[np.float32]
    rays: tuple[Ray, ...]
    fields: tuple[Field, ...]
    ground: str  # where the heights of the ground come from; empty: flat ground assumed
    flat_amsl_m: float  # its height then, else NaN
    is_high: bool

    @property
    def steps(self) -> NDArray[np.int8]:
        """Return the step of each cell: 0 lost, then one for each of `STEPS_DB`, or `UNKNOWN`."""
        found = np.digitize(np.nan_to_num(self.margins_db), STEPS_DB).astype(np.int8)
        found[np.isnan(self.margins_db)] = UNKNOWN
        return found


def patch_of(sortie: Sortie, asked: CoverageAsked) -> Patch:
    """Return the cells round the stand that is asked for."""
    stand = _named("stand", "[[stands]]", sortie.stands, asked.stand)
    n = asked.n_cells
    middle = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=stand.amsl_m)
    return Patch(middle=middle, radius_m=asked.radius_m, n_rows=n, n_columns=n)


def cover(
    sortie: Sortie, asked: CoverageAsked, terrain: Terrain | None, workers: Workers = in_one_go
) -> Coverage:
    """Return the margins of a link round a stand, and how far it holds in eight directions.

    Margins are those of the budget itself, which half of all flights stay below. Without terrain
    the ground is flat, at the height of the lowest of fields and stands.
    """
    link = _named("link", "[[links]]", sortie.links, asked.link)
    patch = patch_of(sortie, asked)
    stand = _named("stand", "[[stands]]", sortie.stands, asked.stand)
    mast, gear = mast_of(stand, terrain), gear_of(link)
    ground = terrain or flat(lowest_amsl_m(sortie))
    heard = (
        ears_of([mast], ground, asked.radius_m, workers, FINE_STEP_DEG),
        waves_of([gear.link], [gear.sd_db], [gear.pattern]),
    )
    even = waves_of([gear.link], [gear.sd_db], [-gear.rain_db])
    is_high = clears_all_ground(heard[0], asked.level, asked.radius_m)
    under = flat(LOWEST_GROUND_M) if is_high else ground
    margins = coverage_db(heard, under, patch, asked.level, workers)[0]
    return Coverage(
        name=sortie.name,
        link=link,
        sd_db=gear.sd_db,
        stand=stand,
        mast=mast,
        asked=asked,
        patch=patch,
        margins_db=margins - np.float32(asked.less_db),
        rays=_rays((*heard, even), under, mast, asked),
        fields=sortie.fields,
        ground=terrain.origin if terrain else "",
        flat_amsl_m=math.nan if terrain else lowest_amsl_m(sortie),
        is_high=is_high,
    )


def _named(what: str, table: str, among: Sequence[Named], name: str) -> Named:
    """Return the link or stand of a name, capitals or not."""
    if not among:
        raise InputError(what, repr(name), "none is stated", f"Write {table} into the flight file.")
    folded = [one for one in among if one.name.casefold() == name.strip().casefold()]
    if folded:
        return next((one for one in folded if one.name == name), folded[0])
    raise InputError(what, repr(name), ", ".join(one.name for one in among))


def _rays(
    heard: tuple[Ears, Waves, Waves], ground: Terrain, mast: Place, asked: CoverageAsked
) -> tuple[Ray, ...]:
    """Return how far a link holds; `heard`: last the same link with antennas that favour none."""
    bearings = 45.0 * np.arange(8)
    step_m = asked.radius_m / _N_SAMPLES
    away = np.asarray(step_m * np.arange(1, _N_SAMPLES + 1), dtype=np.float64)
    places = [[destination(mast, float(b), float(d)) for d in away] for b in bearings]
    lats = np.array([[place.lat_deg for place in row] for row in places])
    lons = np.array([[place.lon_deg for place in row] for row in places])

    def margins(ears: Ears, waves: Waves) -> FloatArray:
        found = points_db((ears, waves), ground, (lats, lons), asked.level)[0]
        return np.asarray(found - asked.less_db, dtype=np.float64)

    ears, waves, even = heard
    bare = without_ground(ears)
    found, unhindered, evenly = margins(ears, waves), margins(bare, waves), margins(bare, even)
    reasons = {
        "unknown": np.isnan(height_amsl_m(ground, lats, lons)),
        "ground": np.isnan(found) | (unhindered >= 0.0),
        "antenna": (evenly >= 0.0) & (evenly - unhindered > _BLAMED_DB),
    }
    ends = np.select(list(reasons.values()), list(reasons), "range")
    return tuple(
        _ray(float(bearings[i]), away, found[i], [str(end) for end in ends[i]]) for i in range(8)
    )


def _ray(bearing_deg: float, away_m: FloatArray, margin_db: FloatArray, ends: list[str]) -> Ray:
    """Return what one row of margins says; `ends`: why it does not hold, where it does not."""
    holds = margin_db >= 0.0
    first = int(np.argmax(holds))
    if not holds[first]:
        nothing = math.nan
        return Ray(
            bearing_deg=bearing_deg, from_m=nothing, to_m=nothing, end=ends[0], left_db=nothing,
            again_m=None,
        )  # fmt: skip
    lost = first + np.flatnonzero(~holds[first:])
    last = int(lost[0]) - 1 if len(lost) else len(holds) - 1
    farthest = int(np.flatnonzero(holds)[-1])
    return Ray(
        bearing_deg=bearing_deg,
        from_m=0.0 if first == 0 else float(away_m[first]),
        to_m=float(away_m[last]),
        end=ends[last + 1] if len(lost) else "edge",
        left_db=float(margin_db[last]),
        again_m=float(away_m[farthest]) if farthest > last else None,
    )
