"""Runs: which forecast is new enough and reaches far enough, and which of its hours are wanted."""

import math
from collections.abc import Sequence
from typing import Final

from farglide.earth.clock import local_datetime
from farglide.errors import InputError
from farglide.gather.fetch.source import HOUR_S, Source
from farglide.gather.fetch.wanted import Stretch

N_TRIED: Final = 4
"""Runs of a day: where none of them is whole, the address is wrong or the server down."""
_DAY_S: Final = 24.0 * HOUR_S


def candidate_runs(source: Source, now_t_s: float, stretches: Sequence[Stretch]) -> list[float]:
    """Return the runs worth asking for, newest first, as UTC seconds.

    Each appeared by now, begins before the first stretch, that of the flight, and reaches the last.
    Raises `InputError` where no run does: which is told with the day from which one will.
    """
    first_s = stretches[0].begin_s
    last_s = max(one.end_s for one in stretches)
    newest_s = min(now_t_s - HOUR_S * source.appears_after_h, first_s)
    day_s = newest_s - newest_s % _DAY_S
    every = [
        day_s - _DAY_S * back + HOUR_S * hour for back in (0, 1, 2) for hour in source.run_hours
    ]
    runs = sorted((one for one in every if one <= newest_s), reverse=True)[:N_TRIED]
    reach_s = HOUR_S * source.hours[-1]
    reaching = [one for one in runs if one + reach_s >= last_s]
    if not reaching:
        too_late_h = (last_s - reach_s - runs[0]) / HOUR_S
        hours = f"{source.hours[-1]} h after the run of {run_text(runs[0])}"
        remedy = f"Ask again {_wait_words(too_late_h)} later, or for fewer days."
        raise InputError("the flight", f"after the forecast {source.key} ends", hours, remedy)
    return reaching


def whole_by(source: Source, run_t_s: float, now_t_s: float) -> bool:
    """Tell whether a run should be complete by now."""
    return now_t_s >= run_t_s + HOUR_S * source.complete_after_h


def steps_of(source: Source, run_t_s: float, stretches: Sequence[Stretch]) -> tuple[int, ...]:
    """Return the hours after a run that are wanted, with the neighbours between which moments lie.

    What lies before the run is over, or too old to ask for. Valid: see `candidate_runs`.
    """
    wanted: set[int] = set()
    for begin_s, end_s in stretches:
        begin_h, end_h = max(begin_s - run_t_s, 0.0) / HOUR_S, (end_s - run_t_s) / HOUR_S
        if end_h < 0.0:
            continue
        low = max(hour for hour in source.hours if hour <= begin_h)
        high = min(hour for hour in source.hours if hour >= end_h)
        wanted.update(hour for hour in source.hours if low <= hour <= high)
    return tuple(sorted(wanted))


def run_text(run_t_s: float) -> str:
    """Return a run as its date and hour.

    >>> run_text(1800684000.0)
    '2027-01-23 06 UTC'
    """
    return f"{local_datetime(run_t_s, 'UTC'):%Y-%m-%d %H} UTC"


def run_values(run_t_s: float, step_h: int, member: str) -> dict[str, str]:
    """Return what stands for a run, an hour after it and a member in an address.

    >>> run_values(1800684000.0, 4, "gec00")
    {'date': '20270123', 'hour': '06', 'step': '004', 'member': 'gec00'}
    """
    at = local_datetime(run_t_s, "UTC")
    return {
        "date": f"{at:%Y%m%d}", "hour": f"{at:%H}", "step": f"{step_h:03d}", "member": member,
    }  # fmt: skip


def _wait_words(hours: float) -> str:
    if hours < 48.0:
        return f"{max(math.ceil(hours), 1)} h"
    return f"{math.ceil(hours / 24.0)} days"
