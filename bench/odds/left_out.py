"""Left out: which law tells best how balloons climb that it was not fitted to."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from bench.odds.climbs import TYPICAL, high_flights, ratios_by_table
from bench.odds.crisis import (
    GRID,
    Curve,
    Seen,
    fit_crisis,
    seen_of,
    shown_by,
    usual_log_drag,
)
from bench.odds.data import Flown, darwin, timed
from bench.odds.light import is_dark
from bench.odds.tropopause import factor_log, tropopause_m
from farglide.arrays import FloatArray

_CELLS: Final = 5  # kilometres of a band
_HALVES: Final = ("Darwin, first half", "Darwin, second half")
_LEFT_OUT: Final = (_HALVES[:1], _HALVES[1:], _HALVES, ("Prague",), ("Giles",), ("Lamont",))
_HEAD: Final = ("usual", "moved", "jump", "moved", "height", "tropop.")
_CLIMBS_TO_M: Final = 12_000.0


class Climb(NamedTuple):
    """One climb, which campaign or half of one it is left out with, and its tropopause."""

    group: str
    seen: Seen
    tropopause_m: float


def left_out_rows() -> list[str]:
    """Return the curve with a jump, what each law misses of flights left out, and the tops."""
    climbs = [
        Climb(_group(one), seen_of(one), tropopause_m(one.sounding)) for one in high_flights()
    ]
    fitted = fit_crisis([one.seen for one in climbs])
    at = np.exp(fitted.curve.at_log + fitted.shift)
    spread = float(np.std(fitted.shift, ddof=1))
    return [
        f"Drag that jumps: C_d {_drag(fitted.curve, 2.0e5)} at Re 2e5, "
        f"{_drag(fitted.curve, 3.5e5)} at 3.5e5; from flight to flight",
        f"at Re {np.exp(fitted.curve.at_log):.2e}, {100.0 * spread:.0f} % either way "
        f"({at.min():.1e} to {at.max():.1e}).",
        _row("its bands of 5 km, TYPICAL balloons", _bands(fitted.curve)),
        "Left out: speeds in bands of 5 km missed (root mean square) by the usual curve, by that",
        "one moved along Re; by a jump fitted to the others, and by that one moved; by the usual",
        "curve and a factor by height above the sea, or the tropopause, fitted to the others.",
        f"{'':28s}" + " ".join(f"{name:>8s}" for name in _HEAD),
        *(_left_out(climbs, names) for names in _LEFT_OUT),
        *_top_rows(),
    ]


def _group(one: Flown) -> str:
    days = sorted({each.day for each in darwin()})
    if one.campaign != "Darwin":
        return one.campaign
    return _HALVES[int(days.index(one.day) >= len(days) // 2)]


def _left_out(climbs: Sequence[Climb], names: tuple[str, ...]) -> str:
    others = [one for one in climbs if one.group not in names]
    own = [one for one in climbs if one.group in names]
    jump, usual = (
        fit_crisis([one.seen for one in others]).curve.log_drag(GRID),
        usual_log_drag(GRID),
    )
    shown = [[shown_by(one.seen, drag, may).missed_log for one in own]
             for drag in (usual, jump) for may in (False, True)]  # fmt: skip
    known = [shown_by(one.seen, usual, False).missed_log for one in others]
    for zeros in (0.0, 1.0):
        heights = [one.seen.middle_m - zeros * one.tropopause_m for one in others]
        shown.append([
            off - factor_log(heights, known, one.seen.middle_m - zeros * one.tropopause_m)
            for one, off in zip(own, shown[0], strict=True)
        ])  # fmt: skip
    name = names[0] if len(names) == 1 else "Darwin, both"
    return f"{name:19s}{len(own):3d} climbs" + " ".join(f"{band_error(e):8.3f}" for e in shown)


def band_error(missed: Sequence[FloatArray]) -> float:
    """Return the root mean square over bands of five cells, each climb one vote."""
    squares = []
    for one in missed:
        level = one - one.mean()
        whole = level[: len(level) // _CELLS * _CELLS].reshape(-1, _CELLS).mean(axis=1)
        squares.append(float(np.square(whole).mean()))
    return float(np.sqrt(np.mean(squares)))


def _bands(curve: Curve) -> FloatArray:
    points = GRID[::30]
    drag = np.exp(curve.log_drag(points))
    table = tuple(zip(np.exp(points).tolist(), drag.tolist(), strict=True))
    return np.asarray(np.mean([ratios_by_table(table, one) for one in TYPICAL], axis=0))


def _drag(curve: Curve, re: float) -> str:
    return f"{np.exp(curve.log_drag(np.log([re])))[0]:.2f}"


def _row(name: str, values: FloatArray) -> str:
    return f"{name:35s}" + " ".join(f"{value:6.2f}" for value in values)


def _top_rows() -> list[str]:
    """Return how high flights came by day and in the dark, and how many slowed down for good."""
    rows = ["Climbs above 12 km: how high, and how many of them were flown through their last 3 km",
            "at less than 0.7 of what the usual curve says by the climb below."]  # fmt: skip
    flights = [one for one in timed() if one.sounding.top_gph_m > _CLIMBS_TO_M]
    for place in ("Darwin", "elsewhere"):
        for dark in (False, True):
            some = [one for one in flights
                    if (one.campaign == "Darwin") == (place == "Darwin")
                    and is_dark(one.sounding) == dark]  # fmt: skip
            tops = sorted(one.sounding.top_gph_m / 1e3 for one in some)
            slow = sum(_ends_slow(one) for one in some)
            cold = min(float(np.nanmin(one.sounding.t_k)) for one in some) - 273.15
            rows.append(
                f"{place + (', in the dark' if dark else ', by day'):24s}{len(some):3d} climbs to "
                f"{tops[0]:.0f} to {tops[-1]:.0f} km, {slow} slow; air down to {cold:.0f} C"
            )
    return rows


def _ends_slow(one: Flown) -> bool:
    missed = shown_by(seen_of(one), usual_log_drag(GRID), False).missed_log
    return bool(np.exp(missed[-3:].mean() - missed[:-3].mean()) < 0.7)
