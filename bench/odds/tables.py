"""Tables of honesty: areas, reliability and Brier score, each with an interval."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

import numpy as np

from bench.odds.outcomes import Outcome
from bench.odds.resample import interval, numbered
from farglide.arrays import FloatArray, IntArray

BINS: Final = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0)
_N_TIMES: Final = 500


def area_rows(found: Sequence[Outcome]) -> list[str]:
    """Return the share of true passages inside stated areas, and the scale the spread needed."""
    rows = [
        "True passages inside the stated area, and how wide it should have been (1: as said).",
        f"{'':26s}{'pairs':>6s}{'groups':>7s}   {'inside 50 %':20s}{'inside 90 %':20s}scale",
    ]
    for kind in kinds(found):
        some = [one for one in found if one.kind == kind]
        group = numbered([one.group for one in some])
        for where, areas in (
            ("at 10 km", [one.low for one in some]),
            ("at the top", [one.area for one in some]),
        ):
            half, nine = (np.array([(o.rank <= q).mean() for o in areas]) for q in (0.5, 0.9))
            square = np.array([(one.miss_ratio**2).mean() for one in areas])
            told = [_with_interval(values, group) for values in (half, nine)]
            scale = _with_interval(square, group, root=True)
            name, n = f"{kind}, {where}", int(group.max()) + 1
            rows.append(f"{name:26s}{len(some):6d}{n:7d}   {told[0]:20s}{told[1]:20s}{scale}")
    return rows


def reliability_rows(found: Sequence[Outcome]) -> list[str]:
    """Return how often fields said to be open at some chance were so."""
    stated, *outcomes = (
        np.concatenate([getattr(one, name).ravel() for one in found])
        for name in ("stated", "in_reach", "came", "as_planned")
    )
    names = [one.group for one in found for _ in range(one.stated.size)]
    group = numbered(names)
    rows = [
        "Fields said to be open at some chance: in reach in the true winds, flown there at a speed",
        "judged on the way, and flown there at the speed that was planned.",
        f"{'said':10s}{'fields':>8s}{'mean':>7s}   {'in reach':21s}{'flown, judged':21s}as planned",
    ]
    for low, high in pairwise(BINS):
        here = (stated >= low) & ((stated < high) | (high == 1.0))
        if not here.any():
            continue
        told = [f"{_with_interval(values[here], group[here]):21s}" for values in outcomes]
        mean = f"{stated[here].mean():.2f}"
        rows.append(f"{low:.1f}-{high:.1f}   {here.sum():8d}{mean:>7s}   {''.join(told)}".rstrip())
    return rows


def brier_rows(found: Sequence[Outcome]) -> list[str]:
    """Return Brier scores beside those of the best constant spread of the other campaigns."""
    rows = [
        "Brier score, beside a constant spread fitted with the case's own campaign left out.",
        f"{'':14s}{'in reach':>10s}{'constant':>10s}   {'difference':26s}"
        f"{'flown':>7s}{'constant':>10s}   difference",
    ]
    for kind in (*kinds(found), "all"):
        told = []
        for name in ("in_reach", "came"):
            ours, theirs, group = scores(found, name, kind)
            low, high = _interval_of(ours - theirs, group)
            told.append((ours.mean(), theirs.mean(), (ours - theirs).mean(), low, high))
        cells = [f"{a:.4f} {b:9.4f}   {d:+.4f} ({low:+.4f} to {high:+.4f})"
                 for a, b, d, low, high in told]  # fmt: skip
        rows.append(f"{kind:14s}    {cells[0]}  {cells[1]}")
    return rows


def scores(
    found: Sequence[Outcome], truth: str, kind: str
) -> tuple[FloatArray, FloatArray, IntArray]:
    """Return the Brier score of each case and of the constant spread, and the cases' groups."""
    some = [one for one in found if kind in ("all", one.kind)]
    ours = np.array([_score(one.stated, getattr(one, truth)) for one in some])
    by_spread, campaign = _by_spread(found, truth), np.array([one.campaign for one in found])
    others = {one: campaign != one for one in set(campaign)}
    best = {
        one: best_spread(by_spread[rows] if rows.any() else by_spread)
        for one, rows in others.items()
    }
    theirs = [_score(one.constant[best[one.campaign]], getattr(one, truth)) for one in some]
    return ours, np.array(theirs), numbered([one.group for one in some])


def _by_spread(found: Sequence[Outcome], truth: str) -> FloatArray:
    """Return the Brier score of each case with each constant spread, (n_cases, n_spreads)."""
    return np.array(
        [[_score(one, getattr(case, truth)) for one in case.constant] for case in found]
    )


def best_spread(by_spread: FloatArray) -> int:
    """Return which constant spread scores best over some cases."""
    return int(np.argmin(by_spread.mean(axis=0)))


def kinds(found: Sequence[Outcome]) -> list[str]:
    """Return the classes in the order of the cases."""
    return list(dict.fromkeys(one.kind for one in found))


def _score(chance: FloatArray, share: FloatArray) -> float:
    """Return the mean Brier score of a chance over flights of which a share came true."""
    return float((share * (1.0 - chance) ** 2 + (1.0 - share) * chance**2).mean())


def _interval_of(values: FloatArray, group: IntArray) -> tuple[float, float]:
    def mean(weight: FloatArray) -> float:
        total = weight.sum()
        return float((weight * values).sum() / total) if total > 0.0 else float("nan")

    return interval(mean, group, _N_TIMES, 1)


def _with_interval(values: FloatArray, group: IntArray, root: bool = False) -> str:
    mean, (low, high) = float(values.mean()), _interval_of(values, group)
    if root:
        mean, low, high = (float(np.sqrt(one)) for one in (mean, low, high))
    return f"{mean:.2f} ({low:.2f} to {high:.2f})"
