"""Overlay: digits off the picture, in any order that tells which is which."""

from itertools import pairwise
from typing import Final, NamedTuple

from farglide.errors import AnswerError
from farglide.track.typed.entries import Overlay
from farglide.track.typed.known import Known
from farglide.track.typed.numbers import UNITS, Token, cleaned, place_typed, tokens
from farglide.track.typed.slips import HeightTyped

_WORDS: Final = {"h": "amsl_m", "alt": "amsl_m", "v": "volts", "bat": "volts", "sp": "speed_mps"}
_LARGEST_DEG: Final = 180.0
_SKY: Final = ("n", "s", "e", "w")
_GRADES: Final = tuple("012345")
HOW: Final = (
    "Type what you read: 12340 (a height), 46.5123 S 108.2045 E 12340, .5123 .2045 (the digits "
    "behind the point alone), 22 kmh, 11.1 v."
)


class Said(NamedTuple):
    """Digits by the names of an overlay, and the height among them as it was typed."""

    values: dict[str, float]
    height: HeightTyped | None


def height_of(text: str, known: Known) -> Overlay:
    """Return a height alone: metres, or feet with their unit."""
    typed = tokens(text)
    if len(typed) > 2 or not typed or typed[0].value is None:
        raise AnswerError("Type one height: h 12340, or h 40500 ft.")
    kind, factor = UNITS.get(typed[1].text if len(typed) == 2 else "m", ("", 1.0))
    if kind != "amsl_m":
        raise AnswerError(f"{typed[1].text!r} is no unit of a height: m, ft or km.")
    return Overlay(amsl_m=typed[0].value * factor)


def overlay_of(text: str, known: Known) -> Overlay:
    """Return digits off the picture, as `said_of` sorts them."""
    return Overlay(**said_of(text, known).values)


def said_of(text: str, known: Known) -> Said:
    """Return digits off the picture by the names of an overlay, whatever their size.

    A number with a unit is what its unit says; one above 180 is a height; what is left is a place,
    and a third number behind two with a point is a height. `.5123 .2045` takes the whole degrees
    from the last place.
    """
    typed = tokens(cleaned(text))
    said, bare = _said(typed)
    height = _height_said(typed) if "amsl_m" in said else None
    numbers = [one for one in bare if one.value is not None]
    letters = any(one.text in _SKY for one in bare)
    lettered = [one for one, after in pairwise(bare) if after.text in _SKY]
    free = [one for one in numbers if not any(one is other for other in lettered)]
    if "amsl_m" not in said and (taken := _height_among(free, letters)) is not None:
        said["amsl_m"] = taken.value or 0.0
        height = HeightTyped(said["amsl_m"], is_told=False, has_point=_has_point(taken))
        bare = [one for one in bare if one is not taken]
        numbers = [one for one in bare if one.value is not None]
    if numbers:
        lat_deg, lon_deg = _place(bare, numbers, known)
        said |= {"lat_deg": lat_deg, "lon_deg": lon_deg}
    elif any(one.text != ";" for one in bare) or not said:
        raise AnswerError(HOW)
    return Said(said, height)


def _height_said(typed: list[Token]) -> HeightTyped | None:
    """Return the number that a word or a unit makes a height, as it was typed."""
    for k, one in enumerate(typed):
        if one.value is None:
            continue
        after = typed[k + 1].text if k + 1 < len(typed) else ""
        before = typed[k - 1].text if k else ""
        kind, unit_m = UNITS.get(after, ("", 1.0))
        if kind == "amsl_m":
            return HeightTyped(one.value, unit_m, has_point=_has_point(one))
        if _WORDS.get(before) == "amsl_m" and not kind:
            return HeightTyped(one.value, is_told=False, has_point=_has_point(one))
    return None


def _has_point(token: Token) -> bool:
    return "." in token.text or "," in token.text


def _said(typed: list[Token]) -> tuple[dict[str, float], list[Token]]:
    """Return the numbers that a word or unit names, and the tokens that are left."""
    said, bare, k = dict[str, float](), list[Token](), 0
    while k < len(typed):
        here, after = typed[k], typed[k + 1] if k + 1 < len(typed) else Token("", None)
        if here.text in _WORDS and after.value is not None:
            then = typed[k + 2].text if k + 2 < len(typed) else ""
            unit = UNITS.get(then, ("", 1.0))
            own = unit[0] == _WORDS[here.text]
            _say(said, _WORDS[here.text], after.value * (unit[1] if own else 1.0))
            k += 3 if own else 2
        elif here.value is not None and after.text in UNITS:
            name, factor = UNITS[after.text]
            _say(said, name, here.value * factor)
            k += 2
        else:
            bare.append(here)
            k += 1
    return said, bare


def _say(said: dict[str, float], name: str, value: float) -> None:
    if name in said:
        raise AnswerError(f"Two numbers are both {name.partition('_')[0]}: type one of them.")
    said[name] = value


def _height_among(numbers: list[Token], letters: bool) -> Token | None:
    """Return the bare number that must be a height; None where none must."""
    large = [one for one in numbers if one.value is not None and abs(one.value) > _LARGEST_DEG]
    if len(large) > 1:
        raise AnswerError(f"Two numbers are too large for a place. {HOW}")
    if large:
        return large[0]
    if len(numbers) == 1 and not letters:
        return _no_grade(numbers[0])
    points = [_has_point(one) for one in numbers]
    return numbers[2] if len(numbers) == 3 and points[:2] == [True, True] else None


def _no_grade(token: Token) -> Token:
    """Return a number that can be a height alone; one that a grade of the picture may be cannot."""
    if token.text in _GRADES:
        said = f"{token.text} alone may be a grade of the picture or a height"
        raise AnswerError(f"{said}: type q {token.text} or h {token.text}.")
    return token


def _place(bare: list[Token], numbers: list[Token], known: Known) -> tuple[float, float]:
    ends = [one.text.lstrip("+-") for one in numbers]
    if len(numbers) == 2 and all(one[0] in ".," for one in ends):
        if known.last is None:
            raise AnswerError("No place is known yet: type the whole degrees too.")
        fractions = [abs(one.value or 0.0) for one in numbers]
        lat, lon = (
            _completed(at, share)
            for at, share in zip((known.last.lat_deg, known.last.lon_deg), fractions, strict=True)
        )
        return lat, lon
    return place_typed(bare)


def _completed(last_deg: float, share: float) -> float:
    """Return the degrees with such digits behind the point that are nearest to the last ones."""
    sign, whole = (-1.0 if last_deg < 0.0 else 1.0), int(abs(last_deg))
    options = [sign * (whole + k + share) for k in (-1, 0, 1) if whole + k >= 0]
    return min(options, key=lambda one: abs(one - last_deg))
