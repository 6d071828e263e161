"""Deciding: which number that nobody stated or tested shuts a field where it is to be released."""

from collections.abc import Iterator, Sequence
from math import inf, isfinite
from typing import Final

from farglide.outlook.fields import Band, Cause, FieldOutlook
from farglide.outlook.release import ReleaseOutlook
from farglide.plan.places.reasons import UNTESTED
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

_BESIDE_M: Final = 500.0
"""So near to the window a limit is next to it: two heights of the chart."""
_SPEEDS: Final = {
    "glider.top_mach": ("top Mach number", "top_mach"),
    "glider.top_eas_mps": ("top airspeed", "top_eas"),
}
_KEYS: Final = {"mach": ("glider.top_mach",), "top_eas": ("glider.top_eas_mps",)}
_LINKS: Final = ("links", "command", "picture")

Fields = Sequence[FieldOutlook]


def deciding_guesses(
    sortie: Sortie, release: ReleaseOutlook | None, fields: Fields, half_burst_amsl_m: float
) -> Iterator[str]:
    """Yield that a guessed speed limit, or an untested link, shuts what the release is planned for.

    Inside the window or next to it; without a release, below where half of the balloons have burst
    (`half_burst_amsl_m`, NaN where they never do).
    """
    yield from _speed_limit(sortie, _causes_near(release, fields, half_burst_amsl_m))
    if release is not None:
        yield from _untested_link(release, fields)


def _causes_near(
    release: ReleaseOutlook | None, fields: Fields, half_burst_amsl_m: float
) -> list[Cause]:
    """Return what keeps any field from being open where a release comes into question."""
    low_m, high_m = 0.0, half_burst_amsl_m if isfinite(half_burst_amsl_m) else inf
    if release is not None:
        window = release.window
        low_m, high_m = window.from_amsl_m - _BESIDE_M, window.to_amsl_m + _BESIDE_M
    bands = (band for field in fields for band in field.bands)
    return [cause for one in bands if _is_between(one, low_m, high_m) for cause in one.causes]


def _is_between(band: Band, low_m: float, high_m: float) -> bool:
    bottom_m, top_m = sorted((band.from_amsl_m, band.to_amsl_m))
    return bottom_m < high_m and top_m > low_m


def _speed_limit(sortie: Sortie, causes: Sequence[Cause]) -> Iterator[str]:
    """Yield the first guessed speed limit, and which key states it."""
    limits = [one for one in causes if one.is_guess and one.kind in ("speeds", *_KEYS)]
    for one in limits[:1]:
        keys = [
            key for key in _KEYS.get(one.kind, (*_SPEEDS,)) if sortie.tags.get(key) == Tag.GUESS
        ]
        names, written = (" and ".join(told) for told in zip(*map(_SPEEDS.get, keys), strict=True))
        state = f"State the glider's {names} ({written.replace(' and ', ', ')})."
        yield f"A limit that nobody stated decides: {one.words}. {state}"


def _untested_link(release: ReleaseOutlook, fields: Fields) -> Iterator[str]:
    """Yield that the chosen field is not open in its window for a link that nobody tested."""
    chosen = next(field for field in fields if field.name == release.field)
    window = release.window
    causes = [
        cause
        for band in chosen.bands
        if band.state != "open" and _is_between(band, window.from_amsl_m, window.to_amsl_m)
        for cause in band.causes[:1]
    ]
    links = [one.words for one in causes if one.is_guess and one.kind in _LINKS]
    for words in links[:1]:
        lost = words.removesuffix(UNTESTED)
        yield f"A link budget that nobody tested decides: {lost}. The ground test settles it."
