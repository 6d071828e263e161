"""Car plan: which stand serves the release best, until when to set off, and what moving costs."""

from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.atlas.terrain import Terrain
from farglide.chances.bands import LAST_BURST_RATIO
from farglide.chances.case import Case
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.window import Decision
from farglide.earth.geodesy import east_north_m
from farglide.earth.state import place_of
from farglide.outlook.links import CarOutlook, HeldStep, LinksOutlook, LostPicture, Move
from farglide.plan.home.homeward import Homeward
from farglide.plan.links.hearing import heard_links, planned_path
from farglide.plan.links.lostheights import lost_agl_m
from farglide.plan.links.road import road_points
from farglide.plan.links.stands import skies
from farglide.radio.picture import grade_of
from farglide.rig.links import gear_of
from farglide.rig.listening import Listening, drive_between_s, drive_s, ready_s
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db
from farglide.sortie.spec import Sortie, StandSpec

_STEP_S: Final = 60.0
_LOWER_M: Final = 20.0
"""A stand that sees the field no lower than this is not worth a move."""


def links_outlook(
    case: Case, chances: Chances, decision: Decision | None, released: tuple[int, Homeward | None]
) -> LinksOutlook:
    """Return everything about the links. `released`: the moment, and the flights home from it."""
    ensemble, plain, terrain = case.drawn, case.plain, case.terrain
    path = planned_path(ensemble, plain, *released)
    return LinksOutlook(
        links=heard_links(path, terrain),
        held=_held(ensemble, plain, chances, decision.field if decision else 0),
        car=_car(case, chances, decision) if decision else None,
        ground=terrain.origin if terrain else "",
        skies=skies(ensemble.sortie, ensemble.ears) if terrain else (),
    )


def _held(
    ensemble: Ensemble, plain: Ensemble, chances: Chances, field: int
) -> tuple[HeldStep, ...]:
    """Return the links of the climbing balloon, from the best stand for a release to a field."""
    listening, holding = ensemble.ears, chances.holding
    if listening is None or holding is None or field >= holding.stand.shape[1]:
        return ()
    every = max(round(_STEP_S / ensemble.climbs.tracks.step_s), 1)
    alive = int((chances.burst_ratio < LAST_BURST_RATIO).sum())
    asked = np.arange(0, alive, every)
    tracks = plain.climbs.tracks
    clock = (chances.after_launch_s[asked] / ensemble.climbs.tracks.step_s).round()
    moments = np.minimum(clock.astype(np.int64), tracks.amsl_m.shape[1] - 1)
    flights = Trails(
        tracks.amsl_m[:, moments], tracks.north_rad[:, moments], tracks.east_rad[:, moments]
    )
    listeners, frame = listening.listeners, ensemble.air.scene.frame
    margins = margins_db(listeners, frame, flights, ensemble.workers)[0].astype(np.float64)
    found = []
    for i, j in enumerate(asked):
        s = int(holding.stand[j, field])
        rows = margins[s, :, i] if s >= 0 else np.full(margins.shape[1], np.nan)
        found.append(
            HeldStep(
                after_launch_s=float(chances.after_launch_s[j]),
                amsl_m=float(chances.amsl_m[j]),
                stand=ensemble.sortie.stands[s].name if s >= 0 else "",
                grade=_grade(ensemble.sortie, listening, rows),
                picture_db=_strongest(listening, rows, "picture"),
                command_db=_strongest(listening, rows, "command"),
            )
        )
    return tuple(found)


def _strongest(listening: Listening, margins: FloatArray, purpose: str) -> float | None:
    found = margins[listening.rows(purpose)]
    return float(found.max()) if len(found) and not np.isnan(found).any() else None


def _grade(sortie: Sortie, listening: Listening, margins: FloatArray) -> int:
    """Return the best picture of all picture links, 0 where there is none."""
    rows = [k for k in listening.rows("picture") if not np.isnan(margins[k])]
    grades = (grade_of(float(margins[k]), sortie.links[k].is_digital) for k in rows)
    return max(grades, default=0)


def _car(case: Case, chances: Chances, decision: Decision) -> CarOutlook | None:
    ensemble, plain, terrain = case.drawn, case.plain, case.terrain
    holding, sortie = chances.holding, ensemble.sortie
    if holding is None:
        return None
    s = int(holding.stand[decision.best, decision.field])
    if s < 0:
        return None
    stand, takes_s = sortie.stands[s], drive_s(sortie, sortie.stands[s])
    off_s = decision.from_s - takes_s - sortie.set_up_s
    lost = _lost_picture_m(sortie, stand, decision.field, terrain)
    away = east_north_m(place_of(sortie.launch), place_of(stand))
    return CarOutlook(
        stand=stand.name,
        lat_deg=stand.lat_deg,
        lon_deg=stand.lon_deg,
        east_m=away.east_m,
        north_m=away.north_m,
        nose_deg=stand.nose_deg,
        holds_ratio=tuple(
            zip(
                holding.purposes,
                (float(x) for x in holding.by_purpose[decision.best, decision.field]),
                strict=True,
            )
        ),
        drive_s=takes_s,
        drive_guessed=stand.drive_s is None and takes_s > 0.0,
        set_up_s=sortie.set_up_s,
        ready_after_launch_s=ready_s(sortie, stand),
        set_off_after_launch_s=off_s if takes_s > 0.0 else None,
        lost_agl_m=lost,
        moves=tuple(_moves(sortie, (stand, lost), decision.field, terrain)),
        road=road_points(plain, stand, (off_s, takes_s), terrain),
    )


def _moves(
    sortie: Sortie, here: tuple[StandSpec, float | None], field: int, terrain: Terrain | None
) -> list[Move]:
    """Return the stands from which the field is seen plainly lower, and what the path costs."""
    stand, lost_m = here
    found = []
    for other in sortie.stands:
        lower = _lost_picture_m(sortie, other, field, terrain)
        if other is stand or lower is None:
            continue
        if lost_m is None or lower < lost_m - _LOWER_M:
            silent_s = drive_between_s(sortie, stand, other) + sortie.set_up_s
            found.append(Move(stand=other.name, silent_s=silent_s, lost_agl_m=lower))
    return found


def _lost_picture_m(
    sortie: Sortie, stand: StandSpec, field: int, terrain: Terrain | None
) -> float | None:
    """Return down to which height over a field the best picture link is held, None where none."""
    there = place_of(sortie.fields[field])
    heights = [
        lost_agl_m(gear_of(spec), stand, there, terrain)
        for spec in sortie.links
        if spec.purpose == "picture"
    ]
    return min((height for height in heights if height is not None), default=None)


def lost_pictures(sortie: Sortie, field: int, terrain: Terrain | None) -> tuple[LostPicture, ...]:
    """Return for each stand the height over a field below which the picture is lost."""
    if not any(spec.purpose == "picture" for spec in sortie.links):
        return ()
    return tuple(
        LostPicture(stand=stand.name, agl_m=_lost_picture_m(sortie, stand, field, terrain))
        for stand in sortie.stands
    )
