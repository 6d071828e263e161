"""Weaker: what a link that lost decibels does to reach and chance, and to where to drive."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.chances import chances_of_climb
from farglide.errors import check_range
from farglide.outlook.links import HeardLink, HeardStand, LinksOutlook
from farglide.outlook.weaker import HeardAgain, SeenPhase, WeakerLink
from farglide.plan.faults.unsteered import FREED
from farglide.plan.planned import Planned
from farglide.plan.weak.causes import manned_stand, phases_of
from farglide.plan.weak.regain import (
    Along,
    Post,
    barriers_between,
    heard_along,
    posts_of,
    spans_above,
)
from farglide.radio.path.space import range_ratio
from farglide.radio.picture import grade_of
from farglide.rig.listening import drive_between_s
from farglide.sim.hear.holds import mean_held_ratio

LOSSES_DB: Final = (6.0, 9.0, 12.0)
"""What damage usually costs: a bent or wet antenna, a cracked plug (common practice, no source)."""
LARGEST_DB: Final = 60.0


class _Weak(NamedTuple):
    """Which link is weaker, by how much, and how doubtful its budget is."""

    link: int
    loss_db: float
    sd_db: float


def weaker_links(
    planned: Planned, found: LinksOutlook, losses_db: Sequence[float] = LOSSES_DB
) -> tuple[WeakerLink, ...]:
    """Return every link from every stand, weaker by each of the losses.

    `found`: the links as planned. Where nothing is worth a release, nobody is told where to drive.
    Valid: losses of 0 to 60 dB.
    """
    remedy = "Give the loss as a number above 0: 9 for 9 dB weaker."
    for loss_db in losses_db:
        check_range("less_db", loss_db, "dB", (0.0, LARGEST_DB), remedy)
    if planned.case.drawn.ears is None:
        return ()
    along: tuple[Along, ...] = ()
    if planned.decision is not None:
        along = heard_along(planned.case, planned.moment)
    return tuple(
        _weaker(planned, k, link, (found, along), float(loss_db))
        for k, link in enumerate(found.links)
        for loss_db in losses_db
    )


def _weaker(
    planned: Planned,
    k: int,
    link: HeardLink,
    found: tuple[LinksOutlook, tuple[Along, ...]],
    loss_db: float,
) -> WeakerLink:
    outlook, along = found
    stand = manned_stand(link, outlook)
    chance_ratio, chance_stand = _odds(planned, k, loss_db)
    is_digital = (
        planned.case.drawn.sortie.links[k].is_digital if link.purpose == "picture" else None
    )
    return WeakerLink(
        link=link.name,
        purpose=link.purpose,
        loss_db=loss_db,
        reach_m=link.reach_m * range_ratio(loss_db),
        stand=stand.name,
        seen=_seen(stand, planned.after_launch_s, loss_db, is_digital),
        chance_ratio=chance_ratio,
        chance_stand=chance_stand,
        heard_again=_heard_again(planned, stand.name, along, _Weak(k, loss_db, link.spread_db)),
    )


def _seen(
    stand: HeardStand, release_s: float, loss_db: float, is_digital: bool | None
) -> tuple[SeenPhase, ...]:
    """Return the phases of the flight with so much less; `is_digital`: None for no picture."""
    return tuple(
        SeenPhase(
            phase=phase,
            after_launch_s=point.after_launch_s,
            margin_db=point.p50 - loss_db,
            elevation_deg=point.elevation_deg,
            grade=None if is_digital is None else grade_of(point.p50 - loss_db, is_digital),
        )
        for phase, point in phases_of(stand, release_s)
    )


def _odds(planned: Planned, k: int, loss_db: float) -> tuple[float | None, str]:
    """Return the chance of the chosen field at the best moment, one link weaker, and from where.

    The what-ifs' own draws and moments are asked: without a loss the chance is theirs.
    """
    ensemble = planned.base.ensemble
    listening = ensemble.ears
    if planned.decision is None or listening is None:
        return None, ""
    if listening.purposes[k] not in listening.needed:
        return None, ""
    near_db = listening.waves.near_db.copy()
    near_db[k] -= loss_db
    waves = listening.waves._replace(near_db=near_db)
    moment = round(planned.best_s / ensemble.climbs.tracks.step_s)
    weak = replace(ensemble, ears=replace(listening, waves=waves))
    chances = chances_of_climb(weak, np.array([moment]))
    s = int(chances.holding.stand[0, 0]) if chances.holding is not None else -1
    return float(chances.chance_ratio[0, 0]), ensemble.sortie.stands[s].name if s >= 0 else ""


def _heard_again(
    planned: Planned, car: str, along: tuple[Along, ...], weak: _Weak
) -> tuple[HeardAgain, ...]:
    """Return story by story and place by place when a link is heard."""
    sortie = planned.case.drawn.sortie
    posts = posts_of(sortie)
    start = next(post.stand for post in posts if post.stand.name == car)
    places = [post.stand for post in posts]
    ways = [
        (drive_between_s(sortie, start, one), barriers_between(sortie, start, one))
        for one in places
    ]
    return tuple(
        _again(planned, heard, (p, posts[p], ways[p]), weak)
        for heard in along
        if heard.story != FREED or sortie.links[weak.link].purpose == "position"
        for p in range(len(posts))
    )


def _again(
    planned: Planned,
    heard: Along,
    there: tuple[int, Post, tuple[float, tuple[str, ...]]],
    weak: _Weak,
) -> HeardAgain:
    p, post, (takes_s, barriers) = there
    k, loss_db, sd_db = weak
    set_up_s = planned.case.drawn.sortie.set_up_s if takes_s > 0.0 else 0.0
    ready_s = planned.after_launch_s + takes_s + set_up_s
    spans = spans_above(heard.plain_s, heard.plain_db[p, k] - loss_db)
    reached = [max(span[0], ready_s) for span in spans if span[1] >= ready_s]
    drawn_db = heard.drawn_db[:, p, k] - loss_db
    return HeardAgain(
        story=heard.story,
        place=post.stand.name,
        at=post.at,
        spans=spans,
        heard_ratio=mean_held_ratio(_best_db(drawn_db), sd_db),
        drive_s=takes_s,
        barriers=barriers,
        set_off_after_launch_s=spans[-1][1] - takes_s - set_up_s if spans else None,
        contact_after_launch_s=reached[0] if reached else None,
        in_time_ratio=mean_held_ratio(_best_db(drawn_db[:, heard.drawn_s >= ready_s]), sd_db),
    )


def _best_db(margins: FloatArray) -> FloatArray:
    """Return the best margin of each draw, minus infinity for one that is down."""
    best: FloatArray = np.where(np.isnan(margins), -np.inf, margins).max(axis=1, initial=-np.inf)
    return best
