"""Levels brought into order: the climb alone, equal levels merged, heights rising."""

from bisect import bisect_left
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.sources.levels.levels import QUANTITIES, Levels, Report, counted

TIMED_RATIO: Final = 0.9
"""From this share of levels with an elapsed time on, the levels are a flight in order of time."""

DISORDER_RATIO: Final = 0.2
"""A larger share of levels out of order is no rounding: the heights contradict the pressures."""

FLICKER_RATIO: Final = 0.01
"""How far a pressure may step back, as a share of itself, and still be noise of the reading."""
_WRITTEN_PA: Final = 10.0
"""Pressures are mostly written to 0.1 hPa: above 32 km that is more than 1 %."""
_SCALE_HEIGHT_M: Final = 7500.0  # of the air at 256 K: by so much higher, 1 / e of the pressure

_AGREEING: Final = {"t_k": 1.0, "u_mps": 1.0, "v_mps": 1.0, "gph_m": 20.0, "p_pa": 200.0}
"""How far two reports of one level may differ and still be two readings of the same air."""


def climb_only(levels: Levels, report: Report) -> tuple[Levels, bool]:
    """Return the levels up to the highest, and whether they are a flight in order of time.

    Records of a flight often go on after the burst. Levels without a time keep their place at the
    end: they are sorted by pressure later.
    """
    has_time = np.isfinite(levels["elapsed_s"])
    is_timed = bool(len(levels) and has_time.mean() >= TIMED_RATIO)
    if not is_timed:
        return levels, False
    order = np.argsort(levels["elapsed_s"], kind="stable")  # NaN sorts last
    levels, has_time = levels[order], has_time[order]
    if np.isfinite(levels["gph_m"][has_time]).any():
        top = int(np.nanargmax(np.where(has_time, levels["gph_m"], np.nan)))
    elif np.isfinite(levels["p_pa"][has_time]).any():
        top = int(np.nanargmin(np.where(has_time, levels["p_pa"], np.nan)))
    else:
        return levels, True
    after = has_time & (np.arange(len(levels)) > top)
    report.count(after.sum(), "after the highest point left out")
    return levels[~after], True


def sorted_by_height(levels: Levels) -> Levels:
    """Return the levels lowest first, those of equal height with the higher pressure first."""
    return levels[np.lexsort((-levels["p_pa"], levels["gph_m"]))]


def steadied(levels: Levels, report: Report) -> Levels:
    """Return the levels highest pressure first, pressures that flicker sorted along the heights.

    Read every second or two, a rounded pressure steps back now and then. Where one steps back by
    more than 1 % of the least below it, none is touched: then heights or pressures are wrong.
    """
    known = np.isfinite(levels["gph_m"])
    placed, p_pa = sorted_by_height(levels[known]), np.empty(0)
    if len(placed):
        p_pa = placed["p_pa"].copy()
        least_pa = np.minimum.accumulate(p_pa)
        back_ratio = p_pa / least_pa - 1.0
        if back_ratio.any() and (back_ratio <= _noise_ratio(least_pa)).all():
            placed["p_pa"] = np.sort(p_pa)[::-1]
            steps = f"pressure steps back at {counted((back_ratio > 0.0).sum(), report.noun)}"
            report.note(f"{steps} by up to {100.0 * back_ratio.max():.2g} %: sorted")
    joined = np.concatenate([placed, levels[~known]])
    return joined[np.lexsort((joined["gph_m"], -joined["p_pa"]))]


def merge_equal(levels: Levels, name: str, report: Report) -> Levels:
    """Return the levels, already sorted by `name`, with those of one value made one.

    Reports that complete or repeat each other are merged; reports that contradict each other
    (more than 1 K, 1 m/s, 20 m or 2 hPa apart) are refused: only their author knows which is right.
    """
    values = levels[name]
    starts = np.flatnonzero(np.concatenate([[True], values[1:] != values[:-1]]))
    if len(starts) >= len(levels):  # none at all, or each of its own value
        return levels
    groups = np.split(levels, starts[1:])
    merged = levels[starts].copy()
    apart = []
    for i, group in enumerate(groups):
        if name == "p_pa" and _are_apart(group):
            apart.append(i)
        elif len(group) > 1:
            merged[i] = _merged(group, name, report)
    report.count(
        sum(len(group) - 1 for i, group in enumerate(groups) if i not in apart),
        f"of the same {name} merged",
    )
    return np.concatenate(
        [groups[i] if i in apart else merged[i : i + 1] for i in range(len(groups))]
    )


def rising_heights(levels: Levels, report: Report) -> Levels:
    """Return the most levels whose heights rise strictly, in the order given."""
    keep = _longest_rising(levels["gph_m"])
    n_dropped = len(levels) - len(keep)
    if n_dropped > DISORDER_RATIO * len(levels):
        n_text = f"{n_dropped} of {len(levels)} {report.noun}s"
        rule = f"rise as the pressure falls; allowed: {DISORDER_RATIO:.0%} at most"
        what = f"at {n_text} the height does not {rule}."
        raise report.error(what, "Check which columns hold height and pressure.")
    report.count(n_dropped, "not above the one before left out")
    return levels[keep]


def _noise_ratio(p_pa: FloatArray) -> FloatArray:
    """Return by how much of itself a pressure may step back and be noise."""
    return np.maximum(FLICKER_RATIO, _WRITTEN_PA / p_pa) + 1e-9


def _are_apart(group: Levels) -> bool:
    """Tell whether levels of one pressure are levels of their own, each a little higher."""
    steps_m = np.diff(np.sort(group["gph_m"]))
    most_m = _SCALE_HEIGHT_M * _noise_ratio(group["p_pa"])[0]
    return bool(len(steps_m) and (steps_m > 0.0).all() and steps_m.sum() <= most_m)


def _merged(group: Levels, name: str, report: Report) -> np.void:
    first: np.void = group[0].copy()
    for quantity in QUANTITIES:
        known = group[quantity][np.isfinite(group[quantity])]
        if len(known) == 0:
            continue
        spread = float(known.max() - known.min())
        if spread > _AGREEING.get(quantity, np.inf):
            both = f"{quantity} {known.min():g} and {known.max():g}"
            what = f"give {both} for the same {name} {group[0][name]:g}."
            where = f"{report.noun}s {', '.join(str(row) for row in group['row'])}"
            raise report.error(what, "Keep the one that is right.", where=where)
        first[quantity] = known.mean() if spread else known[0]
    return first


def _longest_rising(values: FloatArray) -> IntArray:
    """Return the places of a longest strictly rising subsequence.

    One wild value then costs one level, not all those below it.
    """
    ends: list[float] = []
    places: list[int] = []
    before = np.full(len(values), -1, np.int64)
    for i, value in enumerate(values.tolist()):
        k = bisect_left(ends, value)
        before[i] = places[k - 1] if k else -1
        if k == len(ends):
            ends.append(value)
            places.append(i)
        else:
            ends[k], places[k] = value, i
    chain: list[int] = []
    i = places[-1] if places else -1
    while i >= 0:
        chain.append(i)
        i = int(before[i])
    return np.array(chain[::-1], np.int64)
