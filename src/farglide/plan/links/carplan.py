"""Car plan: which stand serves the release best, until when to set off, and what moving costs."""

import math
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.terrain import Terrain
from farglide.chances.spells import told_moments
from farglide.chances.window import Decision
from farglide.earth.geodesy import east_north_m
from farglide.earth.state import place_of
from farglide.outlook.links import CarOutlook, HeldStep, LinksOutlook, LostPicture, Move
from farglide.plan.home.homeward import Homeward
from farglide.plan.links.flightpath import planned_path
from farglide.plan.links.hearing import heard_links, margins_along
from farglide.plan.links.landing import landing_path
from farglide.plan.links.overland import lost_agl_m, road_points
from farglide.plan.links.stands import skies
from farglide.plan.planned import Planned
from farglide.radio.picture import grade_of
from farglide.rig.links import gear_of
from farglide.rig.listening import Listening, drive_between_s, drive_s, ready_s
from farglide.sim.core.tracks import Trails
from farglide.sortie.spec import SECOND_CREW, Sortie, StandSpec

_LOWER_M: Final = 20.0
"""A stand that sees the field no lower than this is not worth a move."""


def links_outlook(found: Planned, flight: Homeward | None) -> LinksOutlook:
    """Return everything about the links. `flight`: the flights home from the release."""
    case, terrain = found.case, found.case.terrain
    path = planned_path(case, found.moment, flight)
    return LinksOutlook(
        links=heard_links(path, terrain, landing_path(path, flight) if flight else None),
        held=_held(found),
        car=_car(found, found.decision) if found.decision else None,
        ground=terrain.origin if terrain else "",
        skies=skies(case.sortie, case.drawn.listening) if terrain else (),
    )


def _held(found: Planned) -> tuple[HeldStep, ...]:
    """Return the links of the climbing balloon, from the best stand for a release to a field."""
    drawn, chances, tracks = found.case.drawn, found.chances, found.case.plain.climbs.tracks
    listening, holding = drawn.listening, chances.holding
    field = found.decision.field if found.decision else 0
    if listening is None or holding is None or field >= holding.stand.shape[1]:
        return ()
    asked = told_moments(chances)
    clock = drawn.climbs.moments_at(chances.after_launch_s[asked])
    moments = np.minimum(clock, tracks.amsl_m.shape[1] - 1)
    flights = Trails._make(one[:, moments] for one in tracks.places)
    margins = margins_along(drawn, flights)[0]
    steps = []
    for i, j in enumerate(asked):
        s = int(holding.stand[j, field])
        rows = margins[s, :, i] if s >= 0 else np.full(margins.shape[1], np.nan)
        steps.append(
            HeldStep(
                after_launch_s=float(chances.after_launch_s[j]),
                amsl_m=float(chances.amsl_m[j]),
                stand=drawn.sortie.stands[s].name if s >= 0 else "",
                grade=_grade(drawn.sortie, listening, rows),
                picture_db=_strongest(listening, rows, "picture"),
                command_db=_strongest(listening, rows, "command"),
            )
        )
    return tuple(steps)


def _strongest(listening: Listening, margins: FloatArray, purpose: str) -> float | None:
    found = margins[listening.rows(purpose)]
    return float(found.max()) if len(found) and not np.isnan(found).any() else None


def _grade(sortie: Sortie, listening: Listening, margins: FloatArray) -> int:
    """Return the best picture of all picture links, 0 where there is none."""
    rows = [k for k in listening.rows("picture") if not np.isnan(margins[k])]
    grades = (grade_of(float(margins[k]), sortie.links[k].is_digital) for k in rows)
    return max(grades, default=0)


def _car(found: Planned, decision: Decision) -> CarOutlook | None:
    sortie, terrain, holding = found.case.sortie, found.case.terrain, found.chances.holding
    best, field = decision.best, decision.field
    if holding is None or holding.stand[best, field] < 0:
        return None
    stand = sortie.stands[holding.stand[best, field]]
    takes_s = 0.0 if stand.crew == SECOND_CREW else drive_s(sortie, stand)
    off_s = decision.from_s - takes_s - sortie.set_up_s
    lost = {one.stand: one.agl_m for one in lost_pictures(sortie, field, terrain)}
    away = east_north_m(place_of(sortie.launch), place_of(stand))
    holds = holding.by_purpose[best, field].astype(float).tolist()
    return CarOutlook(
        stand=stand.name,
        lat_deg=stand.lat_deg,
        lon_deg=stand.lon_deg,
        east_m=away.east_m,
        north_m=away.north_m,
        nose_deg=stand.nose_deg,
        holds_ratio=tuple(zip(holding.purposes, holds, strict=True)),
        drive_s=takes_s,
        drive_guessed=stand.drive_s is None and takes_s > 0.0,
        set_up_s=sortie.set_up_s,
        ready_after_launch_s=ready_s(sortie, stand),
        set_off_after_launch_s=off_s if takes_s > 0.0 else None,
        lost_agl_m=lost.get(stand.name),
        moves=_moves(sortie, stand, lost),
        road=road_points(found.case.plain, stand, off_s, takes_s, terrain),
    )


def _moves(sortie: Sortie, stand: StandSpec, lost: dict[str, float | None]) -> tuple[Move, ...]:
    """Return the stands from which the field is seen plainly lower, and what the path costs.

    `lost`: for each stand the height over the field below which the picture is lost.
    """
    here_m, found = lost.get(stand.name), []
    for other in sortie.stands:
        lower_m = lost.get(other.name)
        if other is stand or lower_m is None:
            continue
        if here_m is None or lower_m < here_m - _LOWER_M:
            silent_s = drive_between_s(sortie, stand, other) + sortie.set_up_s
            if not math.isfinite(silent_s):
                continue
            found.append(Move(stand=other.name, silent_s=silent_s, lost_agl_m=lower_m))
    return tuple(found)


def lost_pictures(sortie: Sortie, field: int, terrain: Terrain | None) -> tuple[LostPicture, ...]:
    """Return for each stand the height over a field down to which its best link has a picture.

    None where the picture is lost however high; nothing at all without a picture link.
    """
    gears = [gear_of(spec) for spec in sortie.links if spec.purpose == "picture"]
    there, found = place_of(sortie.fields[field]), []
    for stand in sortie.stands if gears else ():
        heights = [lost_agl_m(gear, stand, there, terrain) for gear in gears]
        lowest_m = min((agl_m for agl_m in heights if agl_m is not None), default=None)
        found.append(LostPicture(stand=stand.name, agl_m=lowest_m))
    return tuple(found)
