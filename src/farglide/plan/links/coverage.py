"""Coverage: one link round one stand: what is in hand where, how far it holds, what ends it."""

import math
from collections.abc import Sequence
from typing import Final, TypeVar

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.outline import LatLon
from farglide.atlas.terrain import LOWEST_GROUND_M, Terrain, flat, height_amsl_m
from farglide.earth.geodesy import destination
from farglide.earth.state import Place, place_of
from farglide.errors import InputError
from farglide.outlook.coverage import Coverage, CoverageAsked, Ray
from farglide.plan.charted import map_lines
from farglide.rig.groundgrid import ground_grid
from farglide.rig.links import gear_of
from farglide.rig.listening import lowest_amsl_m, mast_of
from farglide.sim.core.workers import Workers, in_one_go
from farglide.sim.hear.coverage import (
    FINE_STEP_DEG,
    clears_all_ground,
    coverage_db,
    points_db,
)
from farglide.sim.hear.ears import Ears, Listeners, Waves, ears_of, waves_of, without_ground
from farglide.sim.hear.groundcircle import GroundCircle, GroundPoints
from farglide.sortie.spec import LinkSpec, Sortie, StandSpec

Named = TypeVar("Named", LinkSpec, StandSpec)

_N_SAMPLES: Final = 600
_N_RELIEF: Final = 320
"""Steps of the relief below the picture, a fifth of which on either side are beyond it."""
_BLAMED_DB: Final = 3.0
"""More than this the pattern takes where it is named as what ends a link."""


def ground_circle_of(sortie: Sortie, asked: CoverageAsked) -> GroundCircle:
    """Return the cells round the stand that is asked for."""
    middle, n = place_of(_named("stand", sortie.stands, asked.stand)), asked.n_cells
    return GroundCircle(middle=middle, radius_m=asked.radius_m, n_rows=n, n_columns=n)


def cover(
    sortie: Sortie, asked: CoverageAsked, terrain: Terrain | None, workers: Workers = in_one_go
) -> Coverage:
    """Return the margins of a link round a stand, and how far it holds in eight directions.

    Margins are those of the budget itself, which half of all flights stay below. Without terrain
    the ground is flat, at the height of the lowest of fields and stands.
    """
    link = _named("link", sortie.links, asked.link)
    circle = ground_circle_of(sortie, asked)
    stand = _named("stand", sortie.stands, asked.stand)
    mast, gear = mast_of(stand, terrain), gear_of(link)
    ground = terrain or flat(lowest_amsl_m(sortie))
    ears = ears_of([mast], ground, asked.radius_m, workers, FINE_STEP_DEG)
    waves, even = (
        waves_of([gear.link], [gear.sd_db], [pattern]) for pattern in (gear.pattern, -gear.rain_db)
    )
    is_high = clears_all_ground(ears, asked.level, asked.radius_m)
    under = flat(LOWEST_GROUND_M) if is_high else ground
    margins = coverage_db(Listeners(ears, waves), under, circle, asked.level, workers)[0]
    return Coverage(
        name=sortie.name,
        link=link,
        sd_db=gear.sd_db,
        stand=stand,
        mast=mast,
        asked=asked,
        circle=circle,
        margins_db=margins - np.float32(asked.less_db),
        rays=_rays(Listeners(ears, waves), even, under, mast, asked),
        fields=sortie.fields,
        ground=terrain.origin if terrain else "",
        flat_amsl_m=math.nan if terrain else lowest_amsl_m(sortie),
        is_high=is_high,
        lines=tuple(map_lines(sortie, stand)),
        relief=ground_grid(terrain, _corners(circle), _N_RELIEF),
    )


def _corners(circle: GroundCircle) -> list[LatLon]:
    """Return two opposite corners of the cells."""
    box = circle.box
    return [(box.north_deg, box.west_deg), (box.south_deg, box.east_deg)]


def _named(what: str, among: Sequence[Named], name: str) -> Named:
    """Return the link or stand of a name, capitals or not."""
    if not among:
        remedy = f"Write [[{what}s]] into the flight file."
        raise InputError(what, repr(name), "none is stated", remedy)
    folded = [one for one in among if one.name.casefold() == name.strip().casefold()]
    if folded:
        return next((one for one in folded if one.name == name), folded[0])
    raise InputError(what, repr(name), ", ".join(one.name for one in among))


def _rays(
    heard: Listeners, even: Waves, ground: Terrain, mast: Place, asked: CoverageAsked
) -> tuple[Ray, ...]:
    """Return how far a link holds; `even`: the same link with antennas that favour none."""
    bearings = 45.0 * np.arange(8)
    step_m = asked.radius_m / _N_SAMPLES
    away = np.asarray(step_m * np.arange(1, _N_SAMPLES + 1), dtype=np.float64)
    places = [[destination(mast, float(b), float(d)) for d in away] for b in bearings]
    lats = np.array([[place.lat_deg for place in row] for row in places])
    lons = np.array([[place.lon_deg for place in row] for row in places])

    points = GroundPoints(lats, lons)

    def margins(ears: Ears, waves: Waves) -> FloatArray:
        found = points_db(Listeners(ears, waves), ground, points, asked.level)[0]
        return np.asarray(found - asked.less_db, dtype=np.float64)

    ears, waves = heard
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
        begin=ends[first - 1] if first else "",
        to_m=float(away_m[last]),
        end=ends[last + 1] if len(lost) else "edge",
        left_db=float(margin_db[last]),
        again_m=float(away_m[farthest]) if farthest > last else None,
    )
