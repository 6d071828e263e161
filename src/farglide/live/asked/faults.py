"""Faults: how long there is, by what is advised now, and the ride's own chances of each."""

from dataclasses import replace
from math import isfinite
from typing import Final

from farglide.live.asked.causes import grade_found
from farglide.live.asked.situation import Situation
from farglide.live.asked.stands import manned_now
from farglide.outlook.asked import FaultNow
from farglide.outlook.askedcar import GradeFound, Heard, StandNow
from farglide.radio.picture import bounded_margin_db, grade_of
from farglide.sortie.spec import LinkSpec

_WITHIN_S: Final = 300.0


def fault_now(asked: Situation) -> FaultNow:
    """Return what every fault card is told with, and what a picture's grade says if it was told.

    Raises InputError for a grade that is none.
    """
    advice, now_s = asked.advice, asked.now_s
    release, field = advice.release, advice.fields[asked.aim]
    until_s, burst, leak = field.until_after_launch_s, advice.burst, advice.leak
    burst_s = float("nan") if burst is None else burst.after_launch_s.p10
    within = [one.burst_ratio for one in advice.waiting if one.seconds <= _WITHIN_S]
    return FaultNow(
        after_launch_s=now_s,
        wanted=asked.told.fault or "",
        field=field.name,
        release_in_s=None if release is None else release.release_by_after_launch_s - now_s,
        door_in_s=None if until_s is None or field.then == "open" else until_s - now_s,
        burst_in_s=burst_s - now_s if isfinite(burst_s) else None,
        burst_ratio=max(within, default=0.0),
        leak_ratio=0.0 if leak is None else leak.chance_ratio,
        winds_ratio=advice.air.spread_ratio,
        grade=_grade(asked),
    )


def _grade(asked: Situation) -> GradeFound | None:
    seen = asked.told.grade
    stand = None if seen is None else manned_now(asked)
    if seen is None or stand is None:
        return None
    return grade_found(_as_budgeted(stand, asked), seen, asked.sortie.links)


def _as_budgeted(stand: StandNow, asked: Situation) -> StandNow:
    """Return a stand with its picture as the budget has it: grades explain none of themselves."""
    moved = asked.advice.picture
    if moved is None:
        return stand
    links = tuple(
        _moved(heard, -moved.offset_db, spec) if spec.name == moved.link else heard
        for heard, spec in zip(stand.links, asked.sortie.links, strict=True)
    )
    return replace(stand, links=links)


def _moved(heard: Heard, by_db: float, spec: LinkSpec) -> Heard:
    margin_db = bounded_margin_db(heard.margin_db + by_db)
    return replace(heard, margin_db=margin_db, grade=grade_of(margin_db, spec.is_digital))
