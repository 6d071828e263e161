"""Verdict: the answer and the reason as sentences, made of what was found and nothing else."""

import math
from typing import Final, NamedTuple

from farglide.chances.window import release_takes_s
from farglide.outlook.fields import FieldOutlook
from farglide.outlook.release import Ending, ReleaseOutlook
from farglide.sortie.spec import Sortie
from farglide.sortie.words import chance_words, km_words, moment_words

_ENDING: Final[dict[Ending, str]] = {
    "burst": "then the burst grows likely",
    "reach": "then the way back grows too long",
    "packs": "then the packs do not last",
    "light": "then it gets dark too soon",
    "command": "then the command no longer reaches it",
    "picture": "then the picture is lost on the way",
}

_PLAINLY: Final = 0.03
"""A chance that is better by less than this is not worth a word."""
_LONG_S: Final = 120.0
_THIN_M: Final = 2000.0
"""A window no higher than this is said as one height."""


class Cover(NamedTuple):
    """The gaps with nowhere to land, until when they are counted, and where the climb ends."""

    gaps: list[tuple[float, float]]
    end_s: float
    end: str  # what happens then
    beyond_amsl_m: float | None  # where knowledge of the winds ends; None above all that matters
    top_amsl_m: float


def verdict(sortie: Sortie, release: ReleaseOutlook | None) -> str:
    """Return the decision in one sentence."""
    begins = f"Launch from {sortie.launch.name} at {_clock(sortie, 0.0)}"
    if not sortie.fields:
        return f"{begins}: no field is prepared, so there is nowhere to land."
    if release is None:
        return f"{begins}: no field is open at any moment of the climb."
    start = _clock(sortie, release.window.from_after_launch_s)
    end = _clock(sortie, release.release_by_after_launch_s)
    name = "home" if release.field == sortie.fields[0].name else release.field
    between = f"between {start} and {end}" if start != end else f"at {start}"
    outcome = f"{name} {chance_words(release.chance_ratio)}"
    return f"{begins}, release {between}, {_height_words(release)}: {outcome}."


def _clock(sortie: Sortie, after_launch_s: float) -> str:
    return moment_words(after_launch_s, sortie.launch.t_s, sortie.launch.zone)


def _height_words(release: ReleaseOutlook) -> str:
    """Return the heights of the window up to the release-by moment; one number where it is thin."""
    low_m, high_m = release.window.from_amsl_m, release.release_by_amsl_m
    if abs(high_m - low_m) <= _THIN_M:
        return f"near {km_words(0.5 * (low_m + high_m))}"
    return f"{low_m / 1000.0:.0f} to {km_words(high_m)} high"


_CREEPS: Final = 0.03
"""Chance of a burst of the next two minutes below which a burst is not yet likely."""


def _ending(release: ReleaseOutlook) -> str:
    if release.bound_by == "burst" and release.burst_within_120_s_ratio < _CREEPS:
        return "then the burst takes more than waiting gains"
    return _ENDING[release.bound_by]


def why(
    sortie: Sortie,
    release: ReleaseOutlook | None,
    fields: tuple[FieldOutlook, ...],
    cover: Cover,
) -> str:
    """Return the reason in a few short sentences."""
    parts = []
    if release is not None:
        parts += _order_words(sortie, release)
        wanted_m, to_m = sortie.wish.wanted_amsl_m, release.window.to_amsl_m
        if to_m < wanted_m:
            ends = cover.top_amsl_m < wanted_m
            why_not = "the balloon does not get there" if ends else "no field is worth a release"
            parts.append(f"Above the {km_words(wanted_m)} you want, {why_not}.")
        chosen = next(field for field in fields if field.name == release.field)
        parts += _shut_words(sortie, chosen, release)
        parts += _better_words(release, fields)
        known_m = cover.beyond_amsl_m
        if known_m is not None and to_m > known_m + 500.0:
            parts.append(f"Above {km_words(known_m)} the winds are only held on, in doubt.")
    parts += _cover_words(sortie, fields, cover)
    parts += _uncounted_words(sortie)
    if release is not None:
        parts += _late_words(release)
        if not math.isnan(release.product_ratio):
            chance = chance_words(release.product_ratio)
            parts.append(f"At the lower bound of your record of releases: {chance}.")
    return " ".join(parts)


def _order_words(sortie: Sortie, release: ReleaseOutlook) -> list[str]:
    """Return by when to release and why, with a warning where there is one moment to order it."""
    window, takes_s = release.window, release_takes_s(sortie.drop)
    by = _clock(sortie, release.release_by_after_launch_s)
    found = [f"Release by {by}: {_ending(release)}."]
    if takes_s > _LONG_S:
        end = _clock(sortie, window.to_after_launch_s)
        found = [
            f"Order the release by {by}: it may take {takes_s / 60.0:.0f} min, and after {end} "
            f"{_ending(release).removeprefix('then ')}."
        ]
    if window.to_after_launch_s - window.from_after_launch_s <= takes_s + 1.0:
        found.append(
            f"The window is no longer than the {takes_s:.0f} s that a release may take: there is "
            "one moment for the order, and the chance is for a release some time after it."
        )
    return found


def _uncounted_words(sortie: Sortie) -> list[str]:
    """Return which link a field is open without, though others are stated."""
    if not sortie.links:
        return []
    if not sortie.stands:
        return ["No stand is stated, so no link counts."]
    purposes = {link.purpose for link in sortie.links}
    missing = [name for name in ("command", "picture") if name not in purposes]
    return [f"No {' and no '.join(missing)} link is stated, so none counts."] if missing else []


def _cover_words(sortie: Sortie, fields: tuple[FieldOutlook, ...], cover: Cover) -> list[str]:
    """Return when there is nowhere to land."""
    gaps = cover.gaps
    opened = [
        band.from_after_launch_s for field in fields for band in field.bands if band.state == "open"
    ]
    if not opened:
        return ["There is nowhere to land at any time."] if fields else []
    begins = _clock(sortie, min(opened))
    if min(opened) >= cover.end_s:
        return [f"Before {begins}, later than {cover.end}, no field is open."]
    if not gaps:
        return [f"From {begins} to {cover.end} some field is always open."]
    spans = [f"{_clock(sortie, a)} to {_clock(sortie, b)}" for a, b in gaps[:2]]
    more = f" and {len(gaps) - 2} times more" if len(gaps) > 2 else ""
    return [f"Nowhere to land from {' and from '.join(spans)}{more}, nor before {begins}."]


def _late_words(release: ReleaseOutlook) -> list[str]:
    """Return how to fly where the flattest way, circled down gently, ends too late."""
    end_s, field = release.must_end_after_launch_s, release.field
    ended = "the packs" if release.must_end_by == "packs" else "the light"
    if release.timely is not None:
        high = km_words(release.timely.spare_m)
        return [
            f"Fly faster than the flattest way, which outlasts {ended}: {high} high over {field} "
            "is the most that ends in time."
        ]
    if not release.best_glide_end_after_launch_s > end_s:
        return []
    spiralled_s = release.firm_spiral_end_after_launch_s
    if spiralled_s is not None and spiralled_s <= end_s:
        return [
            f"Come down over {field} in the firm spiral, with fast legs into the wind to stay over "
            f"it: gentle circles outlast {ended}."
        ]
    return [f"Fly the quickest way: all that keep more height outlast {ended}."]


def _better_words(release: ReleaseOutlook, fields: tuple[FieldOutlook, ...]) -> list[str]:
    """Return the field with the best chance in the same window, where it is plainly better."""
    end_s, chance = release.window.to_after_launch_s, {}
    for field in fields:
        late = [one for one in field.steps if 0.0 <= end_s - one.after_launch_s < 120.0]
        chance[field.name] = max((one.chance_ratio for one in late), default=0.0)
    best = max(chance, key=lambda name: chance[name])
    if chance[best] < release.chance_ratio + _PLAINLY:
        return []
    return [f"{best} instead: {chance_words(chance[best])}."]


def _shut_words(sortie: Sortie, field: FieldOutlook, release: ReleaseOutlook) -> list[str]:
    """Return when the chosen field is shut before the release, the launch itself left out."""
    shut = [
        band
        for band in field.bands
        if band.state == "shut"
        and 0.0 < band.from_after_launch_s < release.window.from_after_launch_s
    ]
    if not shut:
        return []
    longest = max(shut, key=lambda band: band.to_after_launch_s - band.from_after_launch_s)
    start = _clock(sortie, longest.from_after_launch_s)
    end = _clock(sortie, longest.to_after_launch_s)
    reason = f" ({longest.reason})" if longest.reason else ""
    return [f"{field.name} is shut from {start} to {end}{reason}."]
