"""Phases: from which stand a link is heard best on the climb, at the release, on the way home."""

from collections.abc import Callable, Sequence
from typing import Final

from farglide.sortie.heardoutlook import BestStand, HeardPoint, HeardStand

_LIFTED_S: Final = 120.0
"""Before that the balloon is behind the first hedge for all but the launch."""


def best_stands(stands: Sequence[HeardStand], release_s: float) -> tuple[BestStand, ...]:
    """Return the best stand of each phase of the planned flight: most in hand at its weakest.

    Whether it is manned by then is not asked: it says where a second receiver would help.
    """
    found = []
    for phase, belongs in _phases(release_s).items():
        least = {}
        for stand in stands:
            margins = [point.p50 for point in stand.margin_db if belongs(point, stand)]
            if margins:
                least[stand.name] = min(margins)
        if least:
            name = max(least, key=least.__getitem__)
            found.append(BestStand(phase=phase, stand=name, margin_db=least[name]))
    return tuple(found)


def _phases(release_s: float) -> dict[str, Callable[[HeardPoint, HeardStand], bool]]:
    """Return the phases in order, each with what tells whether a moment belongs to it."""
    return {
        "climb": lambda at, _: _LIFTED_S <= at.after_launch_s < release_s,
        "release": lambda at, on: at is _nearest(on, release_s),
        "way home": lambda at, on: release_s < at.after_launch_s and at is not on.margin_db[-1],
        "arrival": lambda at, on: release_s < at.after_launch_s and at is on.margin_db[-1],
    }


def _nearest(stand: HeardStand, at_s: float) -> HeardPoint:
    return min(stand.margin_db, key=lambda point: abs(point.after_launch_s - at_s))
