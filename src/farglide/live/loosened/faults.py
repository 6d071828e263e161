"""Faults after the release: how long there is for each, and what a picture's grade says."""

from farglide.live.asked.causes import grade_found
from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.stands import stand_heard
from farglide.outlook.advice import FieldNow
from farglide.outlook.after import Stage
from farglide.outlook.askedafter import FaultAfter
from farglide.outlook.askedcar import GradeFound


def fault_after(asked: LooseFlight) -> FaultAfter:
    """Return what every fault card is told with, and what a picture's grade says if it was told.

    Raises InputError for a grade that is none.
    """
    after, now_s, field = asked.after, asked.now_s, _field(asked)
    shuts_s = None if field is None else field.shuts_after_launch_s
    down_s = None if after.steer is None else after.steer.down_after_launch_s
    if after.comes_down and (after.steer is None or asked.advice.stage is Stage.TIED_ON):
        down_s = after.comes_down[0].down_after_launch_s
    return FaultAfter(
        after_launch_s=now_s,
        stage=asked.advice.stage,
        wanted=asked.told.fault or "",
        field="" if field is None else field.name,
        door_in_s=None if shuts_s is None else shuts_s - now_s,
        landing_in_s=None if down_s is None else down_s - now_s,
        winds_ratio=asked.advice.air.spread_ratio,
        grade=_grade(asked),
    )


def _field(asked: LooseFlight) -> FieldNow | None:
    """Return the field that counts: the one steered for, else the first that is not shut."""
    fields, steer = asked.advice.fields, asked.after.steer
    if steer is not None:
        return next(one for one in fields if one.name == steer.field)
    return next((one for one in fields if one.state != "shut"), None)


def _grade(asked: LooseFlight) -> GradeFound | None:
    seen = asked.told.grade
    stand = None if seen is None else stand_heard(asked)
    if seen is None or stand is None:
        return None
    return grade_found(stand, seen, asked.sortie.links)
