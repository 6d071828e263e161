"""Area: from where to launch, for home and for each field, as far as drive and barriers allow."""

from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble
from farglide.chances.spots import (
    Asked,
    Asking,
    Spots,
    asked,
    asking_of,
    first_manned_s,
    hopeful,
    some_of,
    spot_at,
    spots_at,
)
from farglide.chances.toldspots import Named, told_spot
from farglide.earth.geodesy import PLANE_LIMIT_M, distances_m
from farglide.earth.state import Placed, place_of
from farglide.outlook.launch import TOO_FAR, LaunchArea, LaunchSpot, MapLine, MapMark, ToldSpot
from farglide.rig.drives import barred_by, drives_home_s, home_place, within_drive_m

UP_M: Final = np.linspace(-40_000.0, 200_000.0, 41)
LEFT_M: Final = np.linspace(-80_000.0, 80_000.0, 17)
ALIKE_RATIO: Final = 0.02
"""Spots whose chance is this near to the best are as good: the shortest drive among them is taken.
Between spots that differ by no more the chance is taken for even."""
PLAINLY_RATIO: Final = 0.03
"""A spot is advised in place of the stated launch from so much more chance on."""
_NEAR_M: Final = 400_000.0
FREE_NAME: Final = "best spot"
UNLIMITED_NAME: Final = "best spot, any drive"


class _Found(NamedTuple):
    """Spots asked so far, what they give, how far the drive is, and what bars them."""

    spots: Spots
    chances: Asked
    drive_s: FloatArray
    manned_s: FloatArray  # the first stand; NaN without stands
    barred: list[str]


def launch_area(ensemble: Ensemble, terrain: Terrain | None = None) -> LaunchArea | None:
    """Return the area to launch from; None without a field.

    `ensemble`: draws with all fields, some 200 of them. Every second spot along and across is
    asked, those between where their neighbours differ, and spots half as far apart round the best.
    """
    sortie = ensemble.sortie
    if not sortie.fields:
        return None
    asking, limit_s = asking_of(ensemble), sortie.launch.may_drive_s
    found = _search(asking, terrain)
    free = _best(asking, found, limit_s, FREE_NAME)
    unlimited = _best(asking, found, None, UNLIMITED_NAME) if limit_s is not None else None
    if free and unlimited and unlimited.home_ratio < free.home_ratio + PLAINLY_RATIO:
        unlimited = None
    launch = Named("launch", sortie.launch.name)
    stated = told_spot(asking, launch, _alone(asking, sortie.launch))
    places = tuple(
        told_spot(asking, Named("place", one.name, one), _alone(asking, one))
        for one in sortie.launch_places
    )
    return LaunchArea(
        axis_deg=float(np.degrees(asking.axis_rad) % 360.0),
        from_amsl_m=asking.from_amsl_m,
        may_drive_s=limit_s,
        drive_radius_m=None if limit_s is None else within_drive_m(limit_s),
        up_drift_m=tuple(UP_M.tolist()),
        across_m=tuple(LEFT_M.tolist()),
        spots=_rows(found, np.inf if limit_s is None else limit_s),
        stated=stated,
        free=free,
        unlimited=unlimited,
        places=places,
        advised=_advised(stated, free, places),
        n_unmanned=int((~hopeful(asking, found.spots)).sum()),
        marks=_marks(ensemble),
        lines=tuple(_lines(ensemble)),
    )


def _alone(asking: Asking, place: Placed) -> Spots:
    return spot_at(asking.ensemble, asking.axis_rad, place_of(place, 0.0))


def _search(asking: Asking, terrain: Terrain | None) -> _Found:
    """Return the even spots, those between asked where it matters, and finer ones at the best."""
    up_m, left_m = (one.ravel() for one in np.meshgrid(UP_M, LEFT_M, indexing="ij"))
    spots = spots_at(asking.ensemble, asking.axis_rad, up_m, left_m)
    even = _looked_at(asking, spots, _even(asking, spots), terrain)
    limit_s = asking.ensemble.sortie.launch.may_drive_s
    chosen = {_best_of(even, limit_s), _best_of(even, None)} - {None}
    if not chosen:
        return even
    half_up, half_left = 0.5 * (UP_M[1] - UP_M[0]), 0.5 * (LEFT_M[1] - LEFT_M[0])
    round_m = {
        (float(up_m[k] + i * half_up), float(left_m[k] + j * half_left))
        for k in chosen
        if k is not None
        for i in (-1, 0, 1)
        for j in (-1, 0, 1)
        if i or j
    }
    finer = spots_at(asking.ensemble, asking.axis_rad, *np.array(sorted(round_m)).T)
    fine = _looked_at(asking, finer, asked(asking, finer), terrain)
    return _Found(
        Spots(*map(np.concatenate, zip(even.spots, fine.spots, strict=True))),
        Asked(*map(np.concatenate, zip(even.chances, fine.chances, strict=True))),
        np.concatenate([even.drive_s, fine.drive_s]),
        np.concatenate([even.manned_s, fine.manned_s]),
        even.barred + fine.barred,
    )


def _even(asking: Asking, spots: Spots) -> Asked:
    """Return the chances of the even spots: every second asked, then where these differ."""
    n_up, n_left = len(UP_M), len(LEFT_M)
    first = np.zeros((n_up, n_left), dtype=np.bool_)
    first[::2, ::2] = True
    found = asked(asking, some_of(spots, first.ravel()))
    coarse = np.column_stack([found.fields, found.low]).reshape((*first[::2, ::2].shape, -1))
    up, left = np.arange(n_up), np.arange(n_left)
    corners = np.stack(
        [coarse[i][:, j] for i in (up // 2, (up + 1) // 2) for j in (left // 2, (left + 1) // 2)]
    )
    chance = corners.mean(axis=0).reshape(n_up * n_left, -1)
    differ = (np.ptp(corners, axis=0).max(axis=-1) > ALIKE_RATIO) & ~first
    more = asked(asking, some_of(spots, differ.ravel()))
    chance[differ.ravel()] = np.column_stack([more.fields, more.low])
    return Asked(chance[:, :-1], chance[:, -1])


def _looked_at(asking: Asking, spots: Spots, chances: Asked, terrain: Terrain | None) -> _Found:
    sortie = asking.ensemble.sortie
    drive_s = drives_home_s(sortie, spots.lat_deg, spots.lon_deg)
    barred = barred_by(sortie, spots.lat_deg, spots.lon_deg, terrain)
    return _Found(spots, chances, drive_s, first_manned_s(asking, spots), barred)


def _may(found: _Found, limit_s: float | None) -> BoolArray:
    """Tell from which spots a launch is possible within a drive."""
    free = np.array([not bar for bar in found.barred], dtype=np.bool_)
    return free if limit_s is None else free & (found.drive_s <= limit_s)


def _best_of(found: _Found, limit_s: float | None) -> int | None:
    """Return the spot with the best chance of home, of alike ones the shortest drive."""
    may, home = _may(found, limit_s), found.chances.fields[:, 0]
    if not may.any():
        return None
    alike = may & (home >= home[may].max() - ALIKE_RATIO)
    return int(np.argmin(np.where(alike, found.drive_s, np.inf)))


def _best(asking: Asking, found: _Found, limit_s: float | None, name: str) -> ToldSpot | None:
    k = _best_of(found, limit_s)
    if k is None:
        return None
    return told_spot(asking, Named("free", name), some_of(found.spots, slice(k, k + 1)))


def _advised(stated: ToldSpot, free: ToldSpot | None, places: tuple[ToldSpot, ...]) -> ToldSpot:
    """Return from where to launch: the best prepared place, without one the best spot.

    The stated launch is one of them, and stays where another is not plainly better.
    """
    others = [one for one in (places or (free,)) if one is not None and not one.barred]
    if not others:
        return stated
    top = max(one.home_ratio for one in others)
    near = [one for one in others if one.home_ratio >= top - ALIKE_RATIO]
    best = min(near, key=lambda one: one.drive_s)
    better = best.home_ratio >= stated.home_ratio + PLAINLY_RATIO
    return best if better or stated.barred else stated


def _rows(found: _Found, limit_s: float) -> tuple[LaunchSpot, ...]:
    columns = (*found.spots, found.chances.low, found.drive_s, found.manned_s, found.chances.fields)
    values = zip(*(one.tolist() for one in columns), found.barred, strict=True)
    return tuple(
        LaunchSpot(
            up_drift_m=up, across_m=left, lat_deg=lat, lon_deg=lon, home_ratio=fields[0],
            home_any_height_ratio=low, any_field_ratio=max(fields), field_ratios=tuple(fields),
            drive_s=drive, manned_after_launch_s=None if np.isnan(manned) else manned,
            barred=bar or (TOO_FAR if drive > limit_s else ""),
        )
        for up, left, lat, lon, low, drive, manned, fields, bar in values
    )  # fmt: skip


def _marks(ensemble: Ensemble) -> tuple[MapMark, ...]:
    sortie = ensemble.sortie
    fields = [
        MapMark(kind="field", name=one.name, lat_deg=one.lat_deg, lon_deg=one.lon_deg)
        for one in sortie.fields
    ]
    stands = [
        MapMark(kind="stand", name=one.name, lat_deg=one.lat_deg, lon_deg=one.lon_deg)
        for one in sortie.stands
    ]
    return (*fields, *stands)


def _lines(ensemble: Ensemble) -> Iterator[MapLine]:
    """Yield the outlines of the barriers that a map round home can hold."""
    home = home_place(ensemble.sortie)
    for one in ensemble.sortie.barriers:
        lat_deg, lon_deg = np.array(one.outline.points).T
        away_m = distances_m(home, lat_deg.copy(), lon_deg.copy())
        if away_m.min() < _NEAR_M and away_m.max() < PLANE_LIMIT_M:
            yield MapLine(name=one.name, kind=one.kind, points=one.outline.points)
