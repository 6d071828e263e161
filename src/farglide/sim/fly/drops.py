"""Drops: what is let go falls from its line, is pulled out level and slows down."""

from typing import Final

from farglide.arrays import FloatArray
from farglide.kernel import compiled

_SQUARE: Final = 1.862
"""Half of gravity times the square of the time, over the height lost: how a pull-out begins.

Source: `glider.release` on the demo's glider: level after T, lost H, g T^2 / 2 H is 1.86 from 30 km
as from 5 km, for both go as the inverse density.
"""
_CUBE: Final = 4.0 - 2.0 * _SQUARE
_FOURTH: Final = _SQUARE - 3.0
"""So that all of the height is lost at the end, and none more."""
PULLS_RATIO: Final = 0.4
"""From this share of the time until it is level on the wing carries: 0.44 in `glider.release`."""


@compiled
def fallen_m(drop: FloatArray, gone_s: float) -> float:
    """Return the height lost so long after a glider was let go, up to the end of its drop.

    `drop`: (fall_s, fall_m, after_s, after_mps), how long and how deep it falls until it is level,
    and how long and how fast it sinks from there until it makes way. Within 3 % of `fall_m` of the
    pull-out that the plan integrates. Valid: from 0 s to fall_s + after_s.
    """
    if gone_s >= drop[0]:
        return float(drop[1] + drop[3] * (gone_s - drop[0]))
    u = max(gone_s, 0.0) / drop[0]
    return float(drop[1] * u * u * (_SQUARE + u * (_CUBE + u * _FOURTH)))
