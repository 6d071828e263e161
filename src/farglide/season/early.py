"""Early: which launch times lie too far off to be judged, and when to look again."""

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite
from typing import Final

from farglide.outlook.season import Early, SeasonCell
from farglide.season.task import Task

LEADS_S: Final = tuple(3600.0 * one for one in (96.0, 72.0, 48.0, 36.0, 24.0, 12.0))
"""A forecast is looked at again when it is only so far ahead of the launch."""
DELAY_S: Final = 5.0 * 3600.0
"""From the run of a forecast until all of it is out: common practice, no source."""


def asked_again(task: Task, cell: SeasonCell, run_t_s: float) -> list[Task]:
    """Return a cell's own task once more, as if its winds were of each later run.

    The winds stay as they are told now, and are doubted less. Nothing where no run is told, or
    where the forecast is as near as it gets.
    """
    if not isfinite(run_t_s):
        return []
    lead_s = cell.launch_t_s - run_t_s
    k = task.numbers.index(cell.spot)
    alone = replace(task, spots=(task.spots[k],), numbers=(cell.spot,))
    return [
        replace(
            alone,
            wanted=task.wanted._replace(
                necks_kg=(cell.neck_lift_kg,), run_t_s=cell.launch_t_s - one
            ),
        )
        for one in LEADS_S
        if one < lead_s - 3600.0
    ]


def look_again(
    cell: SeasonCell, now_ratio: float, later: Sequence[tuple[float, float]], enough_ratio: float
) -> Early | None:
    """Return when to look at a launch time again; None where more forecasts would not open it.

    `later`: the run of each later forecast, UTC, with the chance that it would give.
    """
    if now_ratio >= enough_ratio:
        return None
    for run_t_s, ratio in sorted(later):
        if ratio >= enough_ratio:
            return Early(
                launch_t_s=cell.launch_t_s,
                look_t_s=run_t_s + DELAY_S,
                chance_ratio=now_ratio,
                then_ratio=ratio,
            )
    return None
