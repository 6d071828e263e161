"""Glides: the question about one glide in calm air, and what is strange about an answer."""

from dataclasses import replace
from typing import Final

from farglide.flightfile.asked.parts import Asked, in_turn, number, way
from farglide.flightfile.asked.typed import Keys
from farglide.flightfile.sections.glider import GLIDER
from farglide.units import FOOT_M

_LEAST_WAY_M: Final = 30.0
_USUAL_RATIOS: Final = (3.0, 25.0)
"""Way over height of small gliders. Source: common practice, no source."""
_SCALES: Final = {"_m": 1.0, "_km": 1000.0, "_ft": FOOT_M}


def asked_glide(question: int) -> Asked:
    """Ask how far it once glided in calm air, and from what height."""
    far = number("glided", "way over the ground of a glide in calm air", way(GLIDER, "glided", "m"),
                 blank="no such glide: a guess")  # fmt: skip
    found = yield from in_turn(question, replace(far, doubt=_short))
    if not found:
        return {}
    way_m = _metres(found)
    high = number("glided_from", "height above the ground that it began at",
                  way(GLIDER, "glided_from_agl", "m"))  # fmt: skip
    steep = replace(high, doubt=lambda keys: _unusual(way_m, _metres(keys)))
    return found | (yield from in_turn(question, steep))


def _metres(keys: Keys) -> float:
    """Return the one length that was typed.

    >>> _metres({"glided_km": 1.3}), _metres({"glided_from_agl_ft": 100})
    (1300.0, 30.48)
    """
    ((key, value),) = keys.items()
    return _SCALES[key[key.rindex("_") :]] * float(str(value))


def _short(keys: Keys) -> str:
    way_m = _metres(keys)
    if way_m >= _LEAST_WAY_M:
        return ""
    return (
        f"A glide of {way_m:.3g} m is over in a second or two, and the throw counts for much of "
        "it. The way is asked in metres, not as a glide ratio."
    )


def _unusual(way_m: float, height_m: float) -> str:
    low, high = _USUAL_RATIOS
    ratio = way_m / height_m
    if low <= ratio <= high:
        return ""
    return (
        f"That makes {ratio:.1f} m of way in a metre of height; small gliders make {low:.0f} to "
        f"{high:.0f}. Is the way or the height another?"
    )
