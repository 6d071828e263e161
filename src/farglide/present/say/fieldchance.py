"""Field chance: a field's state beside the chance it is told by, and why another stands there."""

from typing import Final

from farglide.outlook.advice import FieldNow
from farglide.sortie.words import chance_words

_APART_RATIO: Final = 0.1
"""An open field's two chances that are nearer differ by a rounding, not for a reason."""
_ORDER: Final = ("shut", "doubtful", "open")


def told_chance(one: FieldNow, counted: str) -> str:
    """Return the chance of a field; where its state is told by another one, both and why.

    `counted`: what the printed chance counts, and that of the state does not.

    >>> field = FieldNow(name="Home", state="doubtful", chance_ratio=0.3, open_ratio=0.7,
    ...     until_after_launch_s=None, then=None)
    >>> told_chance(field, "burst counted")
    '7 in 10; burst counted 3 in 10'
    """
    chance, by = chance_words(one.chance_ratio), chance_words(one.open_ratio)
    is_near = abs(one.open_ratio - one.chance_ratio) < _APART_RATIO
    if chance == by or (one.state == "open" and is_near):
        return chance
    return f"{by}; {counted} {chance}"


def is_better(one: FieldNow) -> bool:
    """Tell whether the state that comes next is the better one."""
    return one.then is not None and _ORDER.index(one.then) > _ORDER.index(one.state)


def is_held(one: FieldNow, now_s: float) -> bool:
    """Tell whether a field is better already, and shown so once that has lasted."""
    until_s = one.until_after_launch_s
    return is_better(one) and until_s is not None and until_s <= now_s
