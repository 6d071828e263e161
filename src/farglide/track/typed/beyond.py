"""Beyond: what may have been meant by a number that is out of all limits as it was typed."""

from typing import Final

from farglide.errors import AnswerError, InputError
from farglide.track.typed.entries import LaunchMoved, NeckLift, Overlay
from farglide.track.typed.known import AskedBack, Known, Understood
from farglide.track.typed.numbers import cleaned, place_typed, tokens
from farglide.track.typed.overlay import said_of
from farglide.track.typed.parse import digits_in
from farglide.track.typed.physics import MOVED_M, heights_meant, overlay_suspicion
from farglide.track.typed.told import understood

_GRAMS: Final = 1000.0
_MOVED: Final = "moved"
_SWAPPED: Final = "latitude and longitude swapped"


def beyond(error: InputError, line: str, known: Known) -> AskedBack | None:
    """Return the question what a line meant whose number is beyond its limits; None for none."""
    if error.name == "neck lift":
        return _grams(error)
    if error.name == "lat_deg":
        return _swapped(line, known)
    return _too_high(line, known) if error.name == "height" else None


def moved_to(meant: Understood) -> Understood:
    """Return a launch moved to the place of some digits."""
    place = meant.entry
    if not isinstance(place, Overlay) or place.lat_deg is None or place.lon_deg is None:
        raise TypeError("digits without a place")
    return understood(LaunchMoved(lat_deg=place.lat_deg, lon_deg=place.lon_deg))


def _grams(error: InputError) -> AskedBack | None:
    """Return the question whether a neck lift was in grams."""
    if not isinstance(error.value, float):
        return None
    try:
        meant = NeckLift(kg=error.value / _GRAMS)
    except InputError:
        return None
    why = f"A neck lift of {error.value:g} kg is none of a sounding balloon. Grams?"
    return AskedBack(typed=None, why=why, alternatives=(understood(meant),))


def _swapped(line: str, known: Known) -> AskedBack | None:
    """Return the question whether latitude and longitude were swapped.

    Where the two fit so, that is offered once; else what fits, where anything does.
    """
    text = cleaned(line)
    is_launch = text.startswith(_MOVED)
    try:
        said = _said(text, known)
        meant = Overlay(**(said | {"lat_deg": said["lon_deg"], "lon_deg": said["lat_deg"]}))
    except (AnswerError, InputError):
        return None
    why = f"There is no latitude of {said['lat_deg']:g} degrees."
    if is_launch:
        found = overlay_suspicion(meant, known, jump_m=MOVED_M)
    else:
        found = overlay_suspicion(meant, known, said_of(digits_in(line), known).height)
    told = understood(meant)
    offered: tuple[Understood, ...] = (Understood(entry=meant, words=f"{told.words} ({_SWAPPED})"),)
    if found is not None and found.alternatives:
        same = [one for one in found.alternatives if _is_there(one, meant)]
        offered = (*offered, *same[:2]) if same else found.alternatives
    elif found is not None:
        why = f"{why} Swapped: {found.why}"
    if is_launch:
        offered = tuple(moved_to(one) for one in offered)
    return AskedBack(typed=None, why=why, alternatives=offered)


def _said(text: str, known: Known) -> dict[str, float]:
    if not text.startswith(_MOVED):
        return said_of(digits_in(text), known).values
    lat_deg, lon_deg = place_typed(tokens(text.removeprefix(_MOVED)))
    return {"lat_deg": lat_deg, "lon_deg": lon_deg}


def _is_there(one: Understood, meant: Overlay) -> bool:
    """Tell whether an offer is of the same place."""
    entry = one.entry
    return isinstance(entry, Overlay) and (entry.lat_deg, entry.lon_deg) == (
        meant.lat_deg, meant.lon_deg)  # fmt: skip


def _too_high(line: str, known: Known) -> AskedBack | None:
    """Return the question what a height above 100 km was meant to be."""
    said = said_of(digits_in(line), known)
    typed = said.height
    if typed is None or typed.number <= 0.0:
        return None
    meant = heights_meant(typed, known)
    if not meant:
        return None
    rest = {name: one for name, one in said.values.items() if name != "amsl_m"}
    offered = []
    for one in meant:
        try:
            told = understood(Overlay(amsl_m=one.amsl_m, **rest))
        except InputError:
            return None
        how = f" ({one.as_words})" if one.as_words else ""
        offered.append(Understood(entry=told.entry, words=f"{told.words}{how}"))
    why = f"No balloon flies {typed.amsl_m:.0f} m high."
    return AskedBack(typed=None, why=why, alternatives=tuple(offered))
