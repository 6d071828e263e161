"""Blind: a release sent without a picture: whether it arrives, and what happens with and without.

Nothing here multiplies chances: the doubt is about the budget, and the budget is the same for every
repeat of one flight.
"""

from typing import Final

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.outlook.links import DECILE_SDS, HeardLink, HeardPoint, LinksOutlook
from farglide.outlook.weaker import BlindRelease, BlindStep
from farglide.plan.faults.unsteered import door_life_s, glider_falls
from farglide.plan.planned import Planned
from farglide.sim.hear.holds import held_ratio

_EVERY_S: Final = 600.0
_LATER_S: Final = (0.0, 120.0, 300.0, 600.0)


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
        steps=tuple(_step(point, by_s) for point in points),
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


def _step(point: HeardPoint, by_s: float) -> BlindStep:
    return BlindStep(
        after_launch_s=point.after_launch_s,
        margin_db=point.p50,
        arrives_ratio=arrives_ratio(point.p50, _sd_db(point)),
        in_hand_s=max(by_s - point.after_launch_s, 0.0),
    )


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
    share = ensemble.climbs.burst_ratio
    clock_s = np.arange(len(share)) * ensemble.climbs.tracks.step_s
    at_s = [by_s + later_s for later_s in _LATER_S]
    return list(zip(at_s, np.interp(at_s, clock_s, share).tolist(), strict=True))
