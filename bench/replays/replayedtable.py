"""Replayed table: what was told of real flights on their way, all of them and by light."""

from typing import Final, NamedTuple

import numpy as np

from bench.value.paired import share
from farglide.arrays import BoolArray, IntArray

ASKED_M: Final = (0.0, 5_000.0, 10_000.0, 15_000.0, 20_000.0)


class Told(NamedTuple):
    """What was told of one flight from one height: of its place at the top, and of the time."""

    from_m: float
    rank: float  # share of the draws nearer to their middle than the flight came
    most_m: float  # nine in ten draws are so near to their middle
    miss_m: float
    late_s: float
    spread_s: float
    group: int  # pairs told together: those of one real flight
    dark: bool  # flown at night


def replayed_rows(usual: list[Told], own: list[Told], n_pairs: int) -> list[str]:
    """Return the tables: by the height asked from, how near, how wide, and how often inside.

    `usual`: told with the usual drag table; `own`: with that of the balloons' own kind.
    """
    rows = [
        f"{n_pairs} pairs of open soundings: planned on the older one, the fixes of the other",
        "heard on the way, its place near the top told again. Medians of the distance missed, of",
        "the circle told, of the time that it came sooner or later; how often it came inside, and",
        "how often its time was off by more than twice its spread. In brackets: 95 % of the values",
        "with whole flights drawn anew.",
        *_table(usual),
        *_by_light(usual, ""),
    ]
    if own:
        words = ", their drag table by the other flights of their kind"
        rows += _by_light(own, words)
    return rows


def _by_light(found: list[Told], words: str) -> list[str]:
    rows = list[str]()
    for name, dark in (("Flown by day", False), ("Flown in the dark", True)):
        some = [one for one in found if one.dark == dark]
        if some:
            rows += ["", name + words, *_table(some)]
    return rows


def _table(found: list[Told]) -> list[str]:
    told = f"{'inside 50 %':20}{'inside 90 %':20}late, median  beyond 2 sd"
    rows = [f"{'asked from':14}pairs  flights  miss, median  9 in 10 within  {told}"]
    for from_m in ASKED_M:
        some = [one for one in found if one.from_m == from_m]
        if not some:
            continue
        rank = np.array([one.rank for one in some])
        where = "the launch" if from_m == 0.0 else f"{from_m / 1e3:.0f} km"
        miss_km, wide_km = (
            float(np.median([getattr(one, name) for one in some])) / 1e3
            for name in ("miss_m", "most_m")
        )
        late_s = float(np.median([abs(one.late_s) for one in some]))
        groups = np.array([one.group for one in some])
        inside = "".join(f"  {_told_share(rank < ratio, groups):18}" for ratio in (0.5, 0.9))
        off = np.mean([abs(one.late_s) > 2.0 * one.spread_s for one in some])
        rows.append(
            f"{where:14}{len(some):5d}{len(set(groups.tolist())):9d}{miss_km:11.1f} km"
            f"{wide_km:13.1f} km{inside}{late_s:12.0f} s{off:13.2f}"
        )
    return rows


def _told_share(inside: BoolArray, groups: IntArray) -> str:
    found = share(inside, groups)
    return f"{found.mean:.2f} ({found.low:.2f} to {found.high:.2f})"
