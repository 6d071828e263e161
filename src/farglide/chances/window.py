"""Window: from when to when a field's chance is best, released by when, and what ends it."""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import as_ordered
from farglide.outlook.release import Ending
from farglide.sortie.gear import DropSpec
from farglide.sortie.spec import Wish

WITHIN_RATIO: Final = 0.02
"""The window holds all heights whose chance is this near to the best."""
_SOON_S: Final = 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """Which field, when, with what chance; indices are moments of the chances."""

    field: int
    first: int
    last: int
    best: int
    from_s: float  # of the window
    to_s: float
    release_by_s: float
    until_s: float  # released by then, wherever it is
    chance_ratio: float
    open_ratio: float
    bound_by: Ending
    above_wanted: bool
    is_enough: bool  # the chance is as good as the crew asks for


def run_around(holds: BoolArray, at: int) -> tuple[int, int]:
    """Return the first and last of the moments around one that all hold; it is among them."""
    first = last = at
    while first > 0 and holds[first - 1]:
        first -= 1
    while last + 1 < len(holds) and holds[last + 1]:
        last += 1
    return first, last


def counted_ratio(chances: Chances, wish: Wish) -> FloatArray:
    """Return the chance that counts for a decision, (n_moments, n_fields).

    Where the release comes as ordered with a chance less than doubtful, what releases after a burst
    would bring is no plan: there it is that chance alone.
    """
    ordered = as_ordered(chances)
    return np.where(ordered >= wish.doubtful_ratio, chances.chance_ratio, ordered)


def window_of(ensemble: Ensemble, chances: Chances, field: int) -> Decision:
    """Return the window of one field above the wanted height, however small its chance."""
    wish, alive = ensemble.sortie.wish, chances.is_told
    high = alive & (chances.amsl_m >= wish.wanted_amsl_m)
    counted = replace(chances, chance_ratio=counted_ratio(chances, wish))
    return window_around(ensemble, counted, field, high if high.any() else alive, bool(high.any()))


def window_around(
    ensemble: Ensemble, chances: Chances, field: int, allowed: BoolArray, above: bool
) -> Decision:
    """Return the window around the best chance of one field among the moments allowed."""
    chance = np.where(allowed, chances.chance_ratio[:, field], -1.0)
    best = int(np.argmax(chance))
    good = (chance >= chance[best] - WITHIN_RATIO) & _manned(ensemble, chances, field, best)
    good &= chances.by_height == chances.by_height[best]
    if chances.open_ratio[best, field] >= ensemble.sortie.wish.open_ratio:
        good &= chances.open_ratio[:, field] >= ensemble.sortie.wish.open_ratio
    first, last = run_around(good, best)
    t = chances.after_launch_s
    from_s, to_s, chance_ratio = float(t[first]), float(t[last]), float(chance[best])
    late_s = release_takes_s(ensemble.sortie.drop)
    if to_s - from_s < late_s:
        whole = chances.chance_ratio[:, field]
        from_s, to_s, chance_ratio = _widened(t, whole, from_s, to_s, late_s)
    return Decision(
        field=field,
        first=first,
        last=last,
        best=best,
        from_s=from_s,
        to_s=to_s,
        release_by_s=max(to_s - late_s, from_s),
        until_s=max(float(chances.until_s[last]), to_s),
        chance_ratio=chance_ratio,
        open_ratio=float(chances.open_ratio[best, field]),
        bound_by=_binding(ensemble, chances, field, last),
        above_wanted=above,
        is_enough=chance_ratio >= ensemble.sortie.wish.enough_ratio,
    )


def _manned(ensemble: Ensemble, chances: Chances, field: int, best: int) -> BoolArray:
    """Return the moments at which the stand of a field's best moment is manned: there is one car.

    Before, other stands may serve as well, but a car that waits there is not at this one in time.
    """
    stand = chances.holding.stand[best, field] if chances.holding is not None else -1
    if stand < 0 or ensemble.listening is None:
        return np.ones(len(chances.after_launch_s), dtype=np.bool_)
    return np.asarray(chances.after_launch_s >= ensemble.listening.ready_s[stand])


def release_takes_s(drop: DropSpec) -> float:
    """Return the longest time kept from the order to the release: reaction and repeats."""
    return drop.reaction_s.value + drop.repeats_s


def _widened(
    t_s: FloatArray, chance: FloatArray, from_s: float, to_s: float, late_s: float
) -> tuple[float, float, float]:
    """Return the best stretch as long as a release takes around a shorter window, and its chance.

    The release comes at any moment from the order on: its chance is the mean over the stretch, and
    the order goes out where that mean is largest.
    """
    low = max(to_s - late_s, float(t_s[0]))
    starts = np.linspace(low, max(from_s, low), 13)
    through = np.linspace(0.0, late_s, 25)
    means = np.interp(starts[:, None] + through, t_s, chance).mean(axis=1)
    start = float(starts[int(np.argmax(means))])
    return start, start + late_s, float(means.max())


def _binding(ensemble: Ensemble, chances: Chances, field: int, last: int) -> Ending:
    """Return what makes the chance fall after the window: the largest loss of the next minutes."""
    t = chances.after_launch_s
    later = min(max(int(np.searchsorted(t, t[last] + _SOON_S)), last + 1), len(t) - 1)
    burst = chances.burst_ratio[later] - chances.burst_ratio[last]
    reach, timely, total = (
        ratio[last, field] - ratio[later, field]
        for ratio in (chances.reach_ratio, chances.timely_ratio, chances.open_ratio)
    )
    if burst <= 0.0 and total <= 0.0:  # nothing is lost: it gets no higher
        return "top"
    if burst >= total:
        return "burst"
    if chances.holding is not None and total - timely > max(reach, timely - reach):
        before, after = (chances.holding.by_purpose[j, field] for j in (last, later))
        weaker = chances.holding.purposes[int(np.argmax(before - after))]
        return "command" if weaker == "command" else "picture"
    if reach >= timely - reach:
        return "reach"
    return "light" if ensemble.light_is_first else "packs"
