"""Phases: from which stand a link is heard best on the climb, at the release, on the way home."""

from collections.abc import Sequence
from typing import Final

from farglide.outlook.links import BestStand, HeardPoint, HeardStand

_LIFTED_S: Final = 120.0
"""Before that the balloon is behind the first hedge for all but the launch."""


def best_stands(stands: Sequence[HeardStand], climb_end_s: float) -> tuple[BestStand, ...]:
    """Return the best stand of each phase of the planned flight: most in hand at its weakest.

    Whether it is manned by then is not asked: it says where a second receiver would help.
    """
    parts = {stand.name: _parts(stand, climb_end_s) for stand in stands}
    found = []
    for phase in ("climb", "release", "way home", "arrival"):
        least = {
            name: min(point.p50 for point in part[phase])
            for name, part in parts.items()
            if part[phase]
        }
        if least:
            name = max(least, key=least.__getitem__)
            found.append(BestStand(phase=phase, stand=name, margin_db=least[name]))
    return tuple(found)


def _parts(stand: HeardStand, climb_end_s: float) -> dict[str, list[HeardPoint]]:
    """Return the moments of each phase; without a way home there is no release."""
    points = stand.margin_db
    home = [point for point in points if point.after_launch_s > climb_end_s]
    return {
        "climb": [one for one in points if _LIFTED_S <= one.after_launch_s < climb_end_s],
        "release": [stand.nearest(climb_end_s)] if home else [],
        "way home": home[:-1],
        "arrival": home[-1:],
    }
