"""Moments: the air over a place at a moment between two of a forecast."""

from typing import Final

from farglide.sources.files import utc_words
from farglide.sources.levels.levels import Report

_SAME: Final = {"gph_m": 5.0, "t_k": 0.05, "u_mps": 0.05, "v_mps": 0.05, "rh_ratio": 0.02}
"""How far two fields of one kind may be apart by packing alone: geopotential beside height."""


ByPressure = dict[float, dict[str, float]]
"""Values at the place by pressure in pascals and quantity."""


def air_at(
    by_time: dict[float, ByPressure], t_s: float | None, report: Report
) -> tuple[ByPressure, float, str]:
    """Return the column at `t_s`, the moment it is valid, and words for that moment."""
    times = sorted(by_time)
    wanted_s = times[0] if t_s is None else t_s
    if t_s is None and len(times) > 1:
        report.note(f"{len(times)} valid times in the file and none asked for: took the first")
    before = [valid_s for valid_s in times if valid_s <= wanted_s]
    after = [valid_s for valid_s in times if valid_s >= wanted_s]
    if not before or not after or before[-1] == after[0]:
        nearest = min(times, key=lambda valid_s: abs(valid_s - wanted_s))
        if nearest != wanted_s:
            hours = (wanted_s - nearest) / 3600.0
            side = "before" if hours > 0.0 else "after"
            report.note(f"nearest valid time: {abs(hours):.3g} h {side} the time asked for")
        return by_time[nearest], nearest, f"valid {utc_words(nearest)}"
    early, late = before[-1], after[0]
    weight = (wanted_s - early) / (late - early)
    between = f"between those valid {utc_words(early)} and {utc_words(late)}"
    return mixed(by_time[early], by_time[late], weight, report), wanted_s, between


def mixed(early: ByPressure, late: ByPressure, weight: float, report: Report) -> ByPressure:
    for p_pa in sorted(early.keys() ^ late.keys(), reverse=True):
        report.note(f"level {p_pa / 100:g} hPa left out: in one of the two valid times only")
    return {
        p_pa: {
            name: early[p_pa][name] + weight * (late[p_pa][name] - early[p_pa][name])
            for name in early[p_pa].keys() & late[p_pa].keys()
        }
        for p_pa in early.keys() & late.keys()
    }
