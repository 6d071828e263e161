"""Pictures: what the picture should be along the flight, and a release sent without one.

Nothing here multiplies chances: the doubt is about the budget, and the budget is the same for every
repeat of one flight.
"""

from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import glider_falls
from farglide.constants import DECILE_SDS
from farglide.outlook.links import NEAR_M, HeardLink, HeardPoint, HeardStand, LinksOutlook
from farglide.outlook.weaker import (
    BlindRelease,
    BlindStep,
    ExpectedPhase,
    ExpectedPicture,
    GradeSeen,
    Phase,
)
from farglide.plan.faults.unsteered import door_life_s
from farglide.plan.links.stands import overhead_spans
from farglide.plan.planned import Planned
from farglide.radio.picture import DIGITAL_GRADES, bounded_margin_db, grade_of, picture_seen
from farglide.sim.hear.holds import held_ratio
from farglide.sortie.spec import Sortie

_EVERY_S: Final = 600.0
_LATER_S: Final = (0.0, 120.0, 300.0, 600.0)


def expected_pictures(
    sortie: Sortie, found: LinksOutlook, release_s: float | None
) -> tuple[ExpectedPicture, ...]:
    """Return for each picture link what the crew at its stand should see, phase by phase.

    `release_s`: None where there is no release.

    Of a picture that is worse, distance and an antenna overhead are in these numbers already; aim,
    damage and the own command are not, and each behaves in its own way (common practice, no
    source).
    """
    return tuple(
        _expected(link, manned_stand(link, found), release_s, spec.is_digital)
        for link, spec in zip(found.links, sortie.links, strict=True)
        if link.purpose == "picture" and link.stands
    )


def manned_stand(link: HeardLink, found: LinksOutlook) -> HeardStand:
    """Return the car's stand with the points from when it is manned.

    Without a car it is the stand whose weakest moment is best, as if the car drove there.
    """
    car = found.car
    if car is None:
        each = (_from_then(one, one.manned_after_launch_s) for one in link.stands)
        return max(each, key=lambda one: one.weakest.p50)
    (stand,) = (one for one in link.stands if one.name == car.stand)
    return _from_then(stand, car.ready_after_launch_s)


def _from_then(stand: HeardStand, manned_s: float) -> HeardStand:
    """Return a stand with its points from a time on, at least the last."""
    points = [one for one in stand.margin_db if one.after_launch_s >= manned_s]
    return replace(stand, margin_db=tuple(points or stand.margin_db[-1:]))


def phases_of(stand: HeardStand, release_s: float | None) -> list[tuple[Phase, HeardPoint]]:
    """Return the weakest moment of a stand, the release if there is one, and the last moment."""
    found: list[tuple[Phase, HeardPoint]] = [("weakest", stand.weakest)]
    if release_s is not None:
        found.append(("release", stand.nearest(release_s)))
    return [*found, ("end", stand.margin_db[-1])]


def _expected(
    link: HeardLink, stand: HeardStand, release_s: float | None, is_digital: bool
) -> ExpectedPicture:
    end_s = stand.margin_db[-1].after_launch_s if release_s is None else release_s
    climb = [point for point in stand.margin_db if point.after_launch_s <= end_s + 0.5]
    changes_dbps = (
        abs(b.p50 - a.p50) / max(b.after_launch_s - a.after_launch_s, 1.0)
        for a, b in pairwise(climb)
        if min(a.range_m, b.range_m) >= NEAR_M  # just over the stand the distance soon doubles
    )
    return ExpectedPicture(
        link=link.name,
        stand=stand.name,
        phases=tuple(
            _phase(phase, point, is_digital) for phase, point in phases_of(stand, release_s)
        ),
        fastest_dbps=max(changes_dbps, default=0.0),
        highest_deg=max(point.elevation_deg for point in stand.margin_db),
        overhead=overhead_spans(stand.margin_db),
    )


def _phase(phase: Phase, point: HeardPoint, is_digital: bool) -> ExpectedPhase:
    grade, margin_db = grade_of(point.p50, is_digital), bounded_margin_db(point.p50)
    worse = []
    for lower in DIGITAL_GRADES if is_digital else range(grade - 1, -1, -1):
        if lower < grade:
            seen = picture_seen(margin_db, lower, is_digital)
            most_db = seen.most_db if np.isfinite(seen.most_db) else None
            worse.append(GradeSeen(grade=lower, least_db=seen.least_db, most_db=most_db))
    return ExpectedPhase(
        phase=phase,
        after_launch_s=point.after_launch_s,
        margin_db=point.p50,
        elevation_deg=point.elevation_deg,
        grade=grade,
        worse=tuple(worse),
    )


def blind_release(planned: Planned, found: LinksOutlook) -> BlindRelease | None:
    """Return the release sent unseen; None without a release, a car's stand or a command link.

    Of several command links the one strongest at the last moment counts.
    """
    car = found.car
    if planned.decision is None or car is None:
        return None
    climbs = (
        (link, _points(link, car.stand, car.ready_after_launch_s, planned.after_launch_s))
        for link in found.links
        if link.purpose == "command"
    )
    told = [(link, points) for link, points in climbs if points]
    if not told:
        return None
    link, points = max(told, key=lambda one: one[1][-1].p50)
    by_s = planned.decision.release_by_s
    return BlindRelease(
        link=link.name,
        stand=car.stand,
        spread_db=_sd_db(points[-1]),
        steps=tuple(
            BlindStep(
                after_launch_s=point.after_launch_s,
                margin_db=point.p50,
                arrives_ratio=arrives_ratio(point.p50, _sd_db(point)),
                in_hand_s=max(by_s - point.after_launch_s, 0.0),
            )
            for point in points
        ),
        doors=tuple(_doors(planned, planned.decision.field)),
        unsent=tuple(_unsent(planned.case.drawn, by_s)),
    )


def arrives_ratio(margin_db: float, sd_db: float) -> float:
    """Return the chance that a command sent unseen arrives, however often it is repeated.

    The doubt is about antennas, aim and damage, and stays the same from one repeat to the next:
    what does not get through once is not likely to the tenth time. Repeats help against a swing or
    a hand in the way.

    >>> [round(arrives_ratio(margin, 8.0), 2) for margin in (15.0, 10.0, -5.0)]
    [0.97, 0.89, 0.27]

    Source: a normal doubt about a budget in decibels; its size is the flight file's.
    """
    return float(held_ratio(float(margin_db), float(sd_db)))


def _points(link: HeardLink, stand: str, manned_s: float, release_s: float) -> list[HeardPoint]:
    """Return the link's climb from a manned stand: the last moment, and every ten minutes back."""
    (here,) = (one for one in link.stands if one.name == stand)
    climb = [one for one in here.margin_db if manned_s <= one.after_launch_s <= release_s + 0.5]
    kept: list[HeardPoint] = []
    for point in reversed(climb):
        if not kept or kept[-1].after_launch_s - point.after_launch_s >= _EVERY_S:
            kept.append(point)
    return kept[::-1]


def _sd_db(point: HeardPoint) -> float:
    """Return the doubt below the middle: the budget's, and where the balloon may be instead."""
    return (point.p50 - point.p10) / DECILE_SDS


def _doors(planned: Planned, field: int) -> list[tuple[str, float]]:
    """Return how long the field stays open to a glider released then that nobody steers."""
    plain, moment = planned.case.plain, planned.moment
    lives = (
        (fall.what, door_life_s(plain, moment, field, fall.story.kind))
        for fall in glider_falls(plain)
    )
    return [(what, life_s) for what, life_s in lives if life_s is not None]


def _unsent(ensemble: Ensemble, by_s: float) -> list[tuple[float, float]]:
    """Return the share of balloons that have burst, the glider tied on, if nothing is sent."""
    at_s = by_s + np.array(_LATER_S)
    return list(zip(at_s.tolist(), ensemble.climbs.burst_ratio_at(at_s).tolist(), strict=True))
