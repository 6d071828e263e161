"""Causes: what the picture should be along the flight, so that a worse one tells why."""

from dataclasses import replace
from itertools import pairwise

import numpy as np

from farglide.outlook.links import HeardLink, HeardPoint, HeardStand, LinksOutlook
from farglide.outlook.weaker import ExpectedPhase, ExpectedPicture, GradeSeen, Phase
from farglide.plan.links.stands import overhead_spans
from farglide.radio.picture import DIGITAL_GRADES, bounded_margin_db, grade_of, picture_seen
from farglide.sortie.spec import Sortie


def expected_pictures(
    sortie: Sortie, found: LinksOutlook, release_s: float
) -> tuple[ExpectedPicture, ...]:
    """Return for each picture link what the crew at its stand should see, phase by phase.

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

    Without a car it is the stand whose weakest moment is best, throughout.
    """
    car = found.car
    if car is None:
        return max(link.stands, key=lambda one: one.weakest.p50)
    (stand,) = (one for one in link.stands if one.name == car.stand)
    points = [one for one in stand.margin_db if one.after_launch_s >= car.ready_after_launch_s]
    return replace(stand, margin_db=tuple(points or stand.margin_db[-1:]))


def phases_of(stand: HeardStand, release_s: float) -> tuple[tuple[Phase, HeardPoint], ...]:
    """Return the weakest moment of a stand, the release and the end of the flight."""
    return (
        ("weakest", stand.weakest),
        ("release", stand.nearest(release_s)),
        ("end", stand.margin_db[-1]),
    )


def _expected(
    link: HeardLink, stand: HeardStand, release_s: float, is_digital: bool
) -> ExpectedPicture:
    climb = [point for point in stand.margin_db if point.after_launch_s <= release_s + 0.5]
    changes_dbps = (
        abs(b.p50 - a.p50) / max(b.after_launch_s - a.after_launch_s, 1.0)
        for a, b in pairwise(climb)
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
