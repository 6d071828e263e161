"""Steady: what is shown of levels and fields, so that it does not flicker at its bounds."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final, NamedTuple

from farglide.live.ride.told import Told
from farglide.outlook.advice import Advice, FieldNow, Level
from farglide.sortie.spec import Wish

LASTS_S: Final = 20.0
CLEAR_RATIO: Final = 0.05
LONG_S: Final = 120.0
"""Better is shown once it has lasted so long and is so clear of its bound, or has lasted long.

Common practice, no source.
"""
LEVEL: Final = ""
_LEVELS: Final = tuple(reversed(Level))  # the better behind the worse
_STATES: Final = ("shut", "doubtful", "open")


class Better(NamedTuple):
    """Something better than what is shown: whether it is clear of its bound, and since when."""

    is_clear: bool
    since_s: float


class Steadied(NamedTuple):
    """An advice as it is shown, and since when what is better waits, by the name of the field."""

    advice: Advice
    since_s: Mapping[str, float]


def steadied(advice: Advice, told: Told, at_s: float, wish: Wish) -> Steadied:
    """Return an advice as it is shown after the last one, at a monotonic time.

    What is worse is shown at once, and so is all once the flight is at something else.
    """
    if told.level is not None and told.stage != advice.stage.value:
        return Steadied(advice, {})
    waits: dict[str, float] = {}
    level = advice.level
    if told.level is not None and _LEVELS.index(level) > _LEVELS.index(told.level):
        better = Better(True, told.since_s.get(LEVEL, at_s))
        if not is_shown(better, at_s):
            level, waits[LEVEL] = told.level, better.since_s
    fields = []
    for one in advice.fields:
        was = told.fields.get(one.name)
        if was is not None and _STATES.index(one.state) > _STATES.index(was):
            better = Better(_is_clear(one, wish), told.since_s.get(one.name, at_s))
            if not is_shown(better, at_s):
                waits[one.name] = better.since_s
                one = replace(
                    one, state=was, until_after_launch_s=advice.after_launch_s, then=one.state
                )
        fields.append(one)
    return Steadied(replace(advice, level=level, fields=tuple(fields)), waits)


def is_shown(better: Better, at_s: float) -> bool:
    """Tell whether something better is shown by now."""
    lasted_s = at_s - better.since_s
    return lasted_s >= LONG_S or (better.is_clear and lasted_s >= LASTS_S)


def _is_clear(one: FieldNow, wish: Wish) -> bool:
    bound = wish.open_ratio if one.state == "open" else wish.doubtful_ratio
    return one.open_ratio >= bound + CLEAR_RATIO
