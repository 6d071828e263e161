"""Urgency: how much an advice asks of the crew."""

from typing import Final

from farglide.chances.informed import LIKELY_RATIO, Informed
from farglide.chances.onward import Advisable
from farglide.chances.window import release_takes_s
from farglide.outlook.advice import FieldNow, Level

_SOON_S: Final = 600.0
_AT_ONCE_S: Final = 60.0
_SURE_RATIO: Final = 0.9
"""Of a leak: from this chance on the plan for the climb no longer holds."""
_WIDE_RATIO: Final = 1.5
"""Winds that miss by so much more than told are worth a look."""


def level_now(of: Advisable, now_s: float, fields: tuple[FieldNow, ...]) -> Level:
    """Return how much is asked: by what is left until the release is due, then by what changes."""
    release, known = of.release, of.known
    if release is None:
        any_open = any(one.state != "shut" for one in fields)
        return Level.DECIDE if any_open else Level.WATCH
    left_s = release.release_by_after_launch_s - now_s
    if left_s <= _AT_ONCE_S + release_takes_s(known.ensemble.sortie.drop):
        return Level.NOW
    due = now_s >= release.from_after_launch_s or left_s <= _SOON_S
    floats = known.floats_since_s is not None
    if due or floats or known.leaks.chance_ratio >= _SURE_RATIO:
        return Level.DECIDE
    changes = [one.until_after_launch_s for one in fields if one.until_after_launch_s is not None]
    soon = any(0.0 <= at_s - now_s <= _SOON_S for at_s in changes)
    return Level.WATCH if soon or _is_odd(known) else Level.QUIET


def _is_odd(known: Informed) -> bool:
    """Tell whether air or balloon are not as they were told."""
    wide = float(known.spread_ratio.max()) > _WIDE_RATIO
    return wide or known.leaks.chance_ratio >= LIKELY_RATIO
