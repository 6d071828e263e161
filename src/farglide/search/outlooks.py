"""Outlooks: what a search found, part by part, as the values that are shown."""

import math
from collections.abc import Sequence
from itertools import combinations

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import contains
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.earth.geodesy import offset
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.outlook.search import (
    AfloatShare,
    BearingsMet,
    SearchDatum,
    SearchSegment,
    StoryShare,
)
from farglide.search.afloat import LEEWAY_RATIO, Stranding, SurfaceWind, stranding
from farglide.search.asked import Asked, Looked
from farglide.search.bearings import Bearing, crossing
from farglide.search.datum import SECTOR_DEG, glide_outline, glide_radius_m, sector_area_m2
from farglide.search.grid import Grid
from farglide.search.pieces import Piece
from farglide.search.points import GroundPoints, quantile
from farglide.search.rings import outline_of
from farglide.search.stories import glide_drift_m, glide_ratio, last_ground_m


def datum_of(
    ensemble: Ensemble, terrain: Terrain | None, asked: Asked, points: GroundPoints
) -> SearchDatum:
    """Return the last place, what the glide that was left reaches, and where the points lie."""
    last, place = asked.last, asked.last.place
    ground_m = last_ground_m(ensemble, terrain, last)
    ratio = glide_ratio(ensemble, place.amsl_m, ground_m)
    radius_m = glide_radius_m(place.amsl_m - ground_m, ratio)
    drift = glide_drift_m(ensemble, place.amsl_m, ground_m)
    middle = offset(place, drift.east_m, drift.north_m)
    lat_deg, lon_deg = points.middle()
    return SearchDatum(
        lat_deg=place.lat_deg, lon_deg=place.lon_deg, amsl_m=place.amsl_m,
        agl_m=place.amsl_m - ground_m, t_s=last.t_s, heading_deg=last.heading_deg,
        glide_ratio=ratio, glide_radius_m=radius_m, circle_area_m2=sector_area_m2(radius_m),
        sector_area_m2=(
            None if last.heading_deg is None else sector_area_m2(radius_m, SECTOR_DEG)
        ),
        outline=glide_outline(middle, radius_m, last.heading_deg),
        likely_lat_deg=lat_deg, likely_lon_deg=lon_deg,
        radius_50_m=points.radius_m(0.5), radius_90_m=points.radius_m(0.9),
    )  # fmt: skip


def stories_of(points: GroundPoints) -> tuple[StoryShare, ...]:
    """Return the stories, the likeliest first; one that nothing is left of is left out."""
    found = list[StoryShare]()
    for k, chance in enumerate(points.story_ratio.tolist()):
        keep = points.story == k
        if chance > 0.0:
            lat_deg, lon_deg = points.middle(k)
            down_t_s = quantile(points.down_t_s[keep], points.weight[keep], 0.5)
            found.append(
                StoryShare(
                    name=points.names[k], chance_ratio=chance, lat_deg=lat_deg, lon_deg=lon_deg,
                    radius_m=points.radius_m(0.9, k), down_t_s=down_t_s,
                )
            )  # fmt: skip
    return tuple(sorted(found, key=lambda one: -one.chance_ratio))


def segments_of(
    pieces: Sequence[Piece], grid: Grid, before: Sequence[float], looked: Sequence[Looked]
) -> tuple[SearchSegment, ...]:
    """Return the segments in the order of their names."""
    seconds = {one.name: 0.0 for one in pieces}
    for look in looked:
        if look.segment in seconds:
            seconds[look.segment] += look.seconds
    return tuple(
        SearchSegment(
            name=one.name, cover=one.cover.name, is_walked=one.cover.is_walked,
            sweep_m=one.cover.sweep_m, area_m2=one.area_m2, before_ratio=was,
            chance_ratio=one.poc, looked_s=seconds[one.name], lat_deg=one.middle[0],
            lon_deg=one.middle[1], road_m=one.road_m if math.isfinite(one.road_m) else math.nan,
            road=one.road, hazards=one.hazards, owners=one.owners,
            rings=outline_of(one.cells, grid),
        )
        for one, was in zip(pieces, before, strict=True)
    )  # fmt: skip


def afloat_of(
    ensemble: Ensemble, points: GroundPoints, wind: SurfaceWind
) -> tuple[AfloatShare, ...]:
    """Return the waters that it may have come down on, the likeliest first."""
    waters = [one for one in ensemble.sortie.barriers if one.kind == "water"]
    found = [one for water in waters if (one := _afloat(water, points, wind)) is not None]
    return tuple(sorted(found, key=lambda one: -one.chance_ratio))


def _afloat(water: Barrier, points: GroundPoints, wind: SurfaceWind) -> AfloatShare | None:
    wet = contains(water.outline, points.lat_deg, points.lon_deg)
    chance = float(points.weight[wet].sum())
    if not chance > 0.0:
        return None
    weight = points.weight[wet]
    where = {
        name: quantile(getattr(points, name)[wet], weight, 0.5) for name in ("lat_deg", "lon_deg")
    }
    came = stranding(water.outline, Place(**where, amsl_m=0.0), wind)
    if came is None:  # a bent water, its middle on land: the point nearest to it is not
        k = int(weight.argmax())
        where = {"lat_deg": float(points.lat_deg[wet][k]), "lon_deg": float(points.lon_deg[wet][k])}
        came = stranding(water.outline, Place(**where, amsl_m=0.0), wind)
    down_t_s = quantile(points.down_t_s[wet], weight, 0.5)
    return _told(water.name, chance, wind, came, down_t_s) if came is not None else None


def _told(
    name: str, chance: float, wind: SurfaceWind, came: Stranding, down_t_s: float
) -> AfloatShare:
    times = [
        down_t_s + one if math.isfinite(one) else math.nan
        for one in (came.soonest_s, came.likely_s, came.latest_s)
    ]
    return AfloatShare(
        water=name, chance_ratio=chance, drift_mps=LEEWAY_RATIO * wind.mps,
        towards_deg=(wind.from_deg + 180.0) % 360.0, lat_deg=came.place.lat_deg,
        lon_deg=came.place.lon_deg, soonest_t_s=times[0], likely_t_s=times[1],
        latest_t_s=times[2],
    )  # fmt: skip


def bearings_met(bearings: Sequence[Bearing]) -> tuple[BearingsMet, ...]:
    """Return where each two bearings meet, the surest first; those that do not are left out."""
    found = list[BearingsMet]()
    for one, other in combinations(bearings, 2):
        try:
            met = crossing(one, other)
        except InputError:
            continue
        found.append(
            BearingsMet(
                stands=(one.name, other.name), lat_deg=met.lat_deg, lon_deg=met.lon_deg,
                angle_deg=met.angle_deg, radius_50_m=met.radius_50_m, radius_90_m=met.radius_90_m,
            )
        )  # fmt: skip
    return tuple(sorted(found, key=lambda one: one.radius_90_m))
