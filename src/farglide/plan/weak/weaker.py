"""Weaker: what a link that lost decibels does to reach and chance, and to where to drive."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.falls import FREED
from farglide.chances.heights import chances_by, rules_like
from farglide.errors import check_range
from farglide.outlook.links import HeardLink, HeardStand, LinksOutlook
from farglide.outlook.weaker import HeardAgain, SeenPhase, WeakerLink
from farglide.plan.planned import Planned
from farglide.plan.weak.pictures import manned_stand, phases_of
from farglide.plan.weak.regain import Along, barriers_between, heard_along, posts_of, spans_above
from farglide.radio.path.space import range_ratio
from farglide.radio.picture import grade_of
from farglide.rig.listening import drive_between_s
from farglide.sim.hear.holds import mean_held_ratio
from farglide.sortie.spec import StandSpec

LOSSES_DB: Final = (6.0, 9.0, 12.0)
"""What damage usually costs: a bent or wet antenna, a cracked plug (common practice, no source)."""
LARGEST_DB: Final = 60.0


class _Weak(NamedTuple):
    """Which link is weaker, and by how much."""

    row: int
    link: HeardLink
    loss_db: float


class _Drive(NamedTuple):
    """A post, how long the drive there takes, and what it crosses."""

    row: int
    post: StandSpec
    takes_s: float
    barriers: tuple[str, ...]


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
    if planned.case.drawn.listening is None:
        return ()
    along = heard_along(planned.case, planned.moment) if planned.decision is not None else ()
    return tuple(
        _weaker(planned, found, along, _Weak(row, link, float(loss_db)))
        for row, link in enumerate(found.links)
        for loss_db in losses_db
    )


def _weaker(
    planned: Planned, found: LinksOutlook, along: tuple[Along, ...], weak: _Weak
) -> WeakerLink:
    link, stand = weak.link, manned_stand(weak.link, found)
    chance_ratio, chance_stand = _chance(planned, weak)
    return WeakerLink(
        link=link.name,
        purpose=link.purpose,
        loss_db=weak.loss_db,
        reach_m=link.reach_m * range_ratio(weak.loss_db),
        stand=stand.name,
        seen=_seen(planned, stand, weak),
        chance_ratio=chance_ratio,
        chance_stand=chance_stand,
        heard_again=_heard_again(planned, stand.name, along, weak),
    )


def _seen(planned: Planned, stand: HeardStand, weak: _Weak) -> tuple[SeenPhase, ...]:
    """Return the phases of the flight with so much less; grades only of a picture."""
    spec, loss_db = planned.case.sortie.links[weak.row], weak.loss_db
    return tuple(
        SeenPhase(
            phase=phase,
            after_launch_s=point.after_launch_s,
            margin_db=point.p50 - loss_db,
            elevation_deg=point.elevation_deg,
            grade=grade_of(point.p50 - loss_db, spec.is_digital)
            if spec.purpose == "picture"
            else None,
        )
        for phase, point in phases_of(stand, planned.released_s)
    )


def _chance(planned: Planned, weak: _Weak) -> tuple[float | None, str]:
    """Return the chance of the chosen field at the best moment, one link weaker, and from where.

    The what-ifs' own draws and moments are asked: without a loss the chance is theirs.
    """
    ensemble = planned.base.ensemble
    listening = ensemble.listening
    if planned.decision is None or listening is None:
        return None, ""
    if listening.purposes[weak.row] not in listening.needed:
        return None, ""
    near_db = listening.waves.near_db.copy()
    near_db[weak.row] -= weak.loss_db
    waves = listening.waves._replace(near_db=near_db)
    rules = rules_like(planned.chances, np.array([planned.decision.best]))
    weaker = replace(ensemble, listening=replace(listening, waves=waves))
    chances = chances_by(weaker, rules)
    s = int(chances.holding.stand[0, 0]) if chances.holding is not None else -1
    return float(chances.chance_ratio[0, 0]), ensemble.sortie.stands[s].name if s >= 0 else ""


def _heard_again(
    planned: Planned, car: str, along: tuple[Along, ...], weak: _Weak
) -> tuple[HeardAgain, ...]:
    """Return story by story and place by place when a link is heard."""
    sortie = planned.case.sortie
    posts = posts_of(sortie)
    start = next(post for post in posts if post.name == car)
    drives = []
    for row, post in enumerate(posts):
        takes_s = drive_between_s(sortie, start, post)
        crossed = barriers_between(sortie, start, post)
        drives.append(_Drive(row, post, takes_s, crossed))
    return tuple(
        _again(planned, heard, drive, weak)
        for heard in along
        if heard.story != FREED or weak.link.purpose == "position"
        for drive in drives
    )


def _again(planned: Planned, heard: Along, drive: _Drive, weak: _Weak) -> HeardAgain:
    takes_s = drive.takes_s
    set_up_s = planned.case.sortie.set_up_s if takes_s > 0.0 else 0.0
    ready_s = planned.after_launch_s + takes_s + set_up_s
    spans = spans_above(heard.plain_s, heard.plain_db[drive.row, weak.row] - weak.loss_db)
    reached = [max(span[0], ready_s) for span in spans if span[1] >= ready_s]
    drawn_db, sd_db = heard.drawn_db[:, drive.row, weak.row] - weak.loss_db, weak.link.spread_db
    return HeardAgain(
        story=heard.story,
        place=drive.post.name,
        at="stand" if drive.row < len(planned.case.sortie.stands) else "field",
        spans=spans,
        heard_ratio=mean_held_ratio(_best_db(drawn_db), sd_db),
        drive_s=takes_s,
        barriers=drive.barriers,
        set_off_after_launch_s=spans[-1][1] - takes_s - set_up_s if spans else None,
        contact_after_launch_s=reached[0] if reached else None,
        in_time_ratio=mean_held_ratio(_best_db(drawn_db[:, heard.drawn_s >= ready_s]), sd_db),
    )


def _best_db(margins: FloatArray) -> FloatArray:
    """Return the best margin of each draw, minus infinity for one that is down."""
    return np.asarray(np.where(np.isnan(margins), -np.inf, margins).max(axis=1, initial=-np.inf))
