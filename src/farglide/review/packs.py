"""Packs: what the cold left of a pack, by its end or by how long it was seen to last."""

from typing import NamedTuple

import numpy as np

from farglide.review.flown import Flown, What
from farglide.review.pooled import Shown
from farglide.sortie.gear import PackSpec
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been
from farglide.track.typed.entries import Overlay

_LOAD_RATIO = 0.03
"""Of the load that the file states: common practice, no source."""


class Drain(NamedTuple):
    """How a typed voltage fell: volts an hour, between which moments and voltages."""

    volts_ph: float
    from_v: float
    to_v: float
    from_s: float
    to_s: float


def pack_shown(sortie: Sortie, flown: Flown, been: Been) -> Shown | None:
    """Return the share of its energy that the cold left of the only pack; None where untold.

    Its end, where that was marked; else it lasted at least until the last fix of the glider, which
    it fed. With several packs nobody knows which fed what, and a box has no one share.
    """
    if len(sortie.packs) != 1 or sortie.packs[0].cold_ratio is None:
        return None
    pack, dead = sortie.packs[0], flown.first(What.DEAD)
    if dead is not None:
        share = _share(pack, dead.t_s - sortie.launch.t_s)
        return Shown(share, _LOAD_RATIO * share)
    if not flown.is_log or not len(been.t_s):
        return None
    share = _share(pack, float(been.t_s[-1]))
    return Shown(share, _LOAD_RATIO * share, at_least=True) if share > 0.0 else None


def drain_of(sortie: Sortie, flown: Flown) -> Drain | None:
    """Return how the voltage typed off the picture fell; None with fewer than three over 10 min."""
    rows = [(one.t_s - sortie.launch.t_s, one.entry.volts) for one in flown.typed
            if isinstance(one.entry, Overlay) and one.entry.volts is not None]  # fmt: skip
    if len(rows) < 3 or rows[-1][0] - rows[0][0] < 600.0:
        return None
    t_s, volts = np.array(rows, dtype=np.float64).T
    slope, level = np.polyfit(t_s - t_s[0], volts, 1)
    fitted = level + slope * (t_s - t_s[0])
    return Drain(
        -3600.0 * float(slope), float(fitted[0]), float(fitted[-1]), float(t_s[0]), float(t_s[-1])
    )


def _share(pack: PackSpec, end_s: float) -> float:
    """Return the share that was used when it had run to a moment after the launch."""
    runs_s = end_s - pack.on_after_launch_s
    return runs_s * pack.load_w / (3600.0 * pack.aged_wh)
