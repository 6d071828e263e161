"""Weaker: what a link that lost decibels does to the reach, to the odds, and to where to drive."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.atlas.terrain import Terrain
from farglide.chances.advise import Advice, advise
from farglide.chances.decide import Decision
from farglide.chances.stage import Stage
from farglide.errors import check_range
from farglide.outlook.links import HeardLink, HeardStand, LinksOutlook
from farglide.outlook.weaker import HeardAgain, SeenPhase, WeakerLink
from farglide.plan.faults.unsteered import FREED
from farglide.plan.weak.causes import manned_stand, phases_of
from farglide.plan.weak.regain import (
    Along,
    Post,
    barriers_between,
    heard_along,
    posts_of,
    spans_above,
)
from farglide.plan.whatif import Small
from farglide.radio.path.space import range_ratio
from farglide.radio.picture import grade_of
from farglide.rig.listening import drive_between_s
from farglide.sim.hear.holds import mean_held_ratio
from farglide.sortie.spec import Sortie, StandSpec

FloatArray = NDArray[np.float64]

LOSSES_DB: Final = (6.0, 9.0, 12.0)
"""What damage usually costs: a bent or wet antenna, a cracked plug (common practice, no source)."""
LARGEST_DB: Final = 60.0


class Release(NamedTuple):
    """The release asked about: when, what for, and the stages that answer."""

    stages: tuple[Stage, Stage]  # of the draws, and without errors
    base: Small  # of the what-ifs, the chosen field alone
    decision: Decision | None
    best_s: float  # the moment with the best odds; 0 without a decision
    moment: int  # of the release, on the clock of both stages
    terrain: Terrain | None

    @property
    def after_launch_s(self) -> float:
        """Return when it is."""
        return float(self.moment * self.stages[1].tracks.step_s)


def release_of(
    stages: tuple[Stage, Stage],
    base: Small,
    advice: Advice,
    decision: Decision | None,
    at: tuple[int, Terrain | None],
) -> Release:
    """Return the release of a decision; `at`: its moment, and the ground."""
    best_s = float(advice.after_launch_s[decision.best]) if decision else 0.0
    return Release(stages, base, decision, best_s, *at)


def weaker_links(
    release: Release, found: LinksOutlook, losses_db: Sequence[float] = LOSSES_DB
) -> tuple[WeakerLink, ...]:
    """Return every link from every stand, weaker by each of the losses.

    `found`: the links as planned. Where nothing is worth a release, nobody is told where to drive.
    Valid: losses of 0 to 60 dB.
    """
    remedy = "Give the loss as a number above 0: 9 for 9 dB weaker."
    for loss_db in losses_db:
        check_range("less_db", loss_db, "dB", (0.0, LARGEST_DB), remedy)
    if release.stages[0].listening is None:
        return ()
    along: tuple[Along, ...] = ()
    if release.decision is not None:
        along = heard_along(release.stages, release.moment, release.terrain)
    return tuple(
        _weaker(release, k, link, (found, along), float(loss_db))
        for k, link in enumerate(found.links)
        for loss_db in losses_db
    )


def _weaker(
    release: Release,
    k: int,
    link: HeardLink,
    found: tuple[LinksOutlook, tuple[Along, ...]],
    loss_db: float,
) -> WeakerLink:
    outlook, along = found
    stand = manned_stand(link, outlook)
    odds_ratio, odds_stand = _odds(release, k, loss_db)
    is_digital = release.stages[0].sortie.links[k].is_digital if link.purpose == "picture" else None
    return WeakerLink(
        link=link.name,
        purpose=link.purpose,
        loss_db=loss_db,
        reach_m=link.reach_m * range_ratio(loss_db),
        stand=stand.name,
        seen=_seen(stand, release.after_launch_s, loss_db, is_digital),
        odds_ratio=odds_ratio,
        odds_stand=odds_stand,
        heard_again=_heard_again(release, stand.name, along, (k, loss_db, link.spread_db)),
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


def _odds(release: Release, k: int, loss_db: float) -> tuple[float | None, str]:
    """Return the odds of the chosen field at the best moment with one link weaker, and from where.

    The what-ifs' own draws and moments are asked: without a loss the odds are theirs.
    """
    stage = release.base.stage
    listening = stage.listening
    if release.decision is None or listening is None:
        return None, ""
    if listening.purposes[k] not in listening.needed:
        return None, ""
    near_db = listening.waves.near_db.copy()
    near_db[k] -= loss_db
    waves = listening.waves._replace(near_db=near_db)
    moment = round(release.best_s / stage.tracks.step_s)
    weak = replace(stage, listening=replace(listening, waves=waves))
    advice = advise(weak, np.array([moment]))
    s = int(advice.holding.stand[0, 0]) if advice.holding is not None else -1
    return float(advice.odds_ratio[0, 0]), stage.sortie.stands[s].name if s >= 0 else ""


def _heard_again(
    release: Release, car: str, along: tuple[Along, ...], weak: tuple[int, float, float]
) -> tuple[HeardAgain, ...]:
    """Return story by story and place by place when a link is heard; `weak`: which, loss, doubt."""
    sortie = release.stages[0].sortie
    posts = posts_of(sortie)
    start = next(post.stand for post in posts if post.stand.name == car)
    ways = [_way(sortie, start, post) for post in posts]
    return tuple(
        _again(release, heard, (p, posts[p], ways[p]), weak)
        for heard in along
        if heard.story != FREED or sortie.links[weak[0]].purpose == "position"
        for p in range(len(posts))
    )


def _way(sortie: Sortie, start: StandSpec, post: Post) -> tuple[float, tuple[str, ...]]:
    """Return the drive, and the barriers on the straight line."""
    return (
        drive_between_s(sortie, start, post.stand),
        barriers_between(sortie, start, post.stand),
    )


def _again(
    release: Release,
    heard: Along,
    there: tuple[int, Post, tuple[float, tuple[str, ...]]],
    weak: tuple[int, float, float],
) -> HeardAgain:
    p, post, (takes_s, barriers) = there
    k, loss_db, sd_db = weak
    set_up_s = release.stages[0].sortie.set_up_s if takes_s > 0.0 else 0.0
    ready_s = release.after_launch_s + takes_s + set_up_s
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
