"""Verdict: the answer and the reason as sentences, made of what was found and nothing else."""

import math
from typing import Final, NamedTuple

from farglide.outlook.fields import Band, FieldOutlook, FieldStep, Gap
from farglide.outlook.release import ReleaseOutlook
from farglide.plan.order import (
    PLAINLY,
    band_over,
    clock_words,
    enough_words,
    field_words,
    higher_words,
    limit_words,
    lower_words,
    order_words,
    some_field_words,
    window_words,
)
from farglide.sortie.spec import Sortie
from farglide.sortie.words import chance_words, height_words, km_words

_SPARE_M: Final = 500.0
"""Less height over the field is none to plan with."""
_LITTLE: Final = 0.1
"""Home with a chance less by no more than this is told beside another field."""


class Cover(NamedTuple):
    """The gaps with no field open, until when they are counted, and where the climb ends."""

    gaps: tuple[Gap, ...]
    end_s: float
    end: str  # what happens then
    beyond_amsl_m: float | None  # where knowledge of the winds ends; None above all that matters
    top_amsl_m: float


def verdict(sortie: Sortie, release: ReleaseOutlook | None) -> str:
    """Return the decision in one sentence."""
    begins = f"Launch from {sortie.launch.name} at {clock_words(sortie, 0.0)}"
    if not sortie.fields:
        return f"{begins}: no field is prepared, so there is nowhere to land."
    if release is None:
        return f"{begins}: no field has a chance worth a release at any height."
    outcome = (
        f"{field_words(sortie, release)} {chance_words(release.chance_ratio, sortie.wish.bounds)}"
    )
    return f"{begins}, {window_words(sortie, release)}: {outcome}."


def why(
    sortie: Sortie,
    release: ReleaseOutlook | None,
    fields: tuple[FieldOutlook, ...],
    cover: Cover,
) -> str:
    """Return the reason in a few short sentences."""
    parts = []
    if release is not None:
        chosen = next(field for field in fields if field.name == release.field)
        parts += enough_words(sortie, release)
        parts += lower_words(sortie, release, fields)
        parts += some_field_words(sortie, release)
        parts += order_words(sortie, release)
        wanted_m, to_m = sortie.wish.wanted_amsl_m, release.window.to_amsl_m
        if to_m < wanted_m:
            parts.append(_above_words(sortie, chosen, fields, cover))
        parts += limit_words(chosen, release)
        parts += _shut_words(sortie, chosen, release)
        parts += higher_words(sortie, release)
        parts += _other_words(sortie, release, fields)
        known_m = cover.beyond_amsl_m
        if known_m is not None and to_m > known_m + 500.0:
            parts.append(f"Above {km_words(known_m)} the winds are only held on, in doubt.")
    parts += _cover_words(sortie, release, fields, cover)
    parts += [] if release is not None else _best_words(sortie, fields)
    parts += _uncounted_words(sortie)
    if release is not None:
        parts += _late_words(release)
        if not math.isnan(release.product_ratio):
            chance = chance_words(release.product_ratio)
            parts.append(f"At the lower bound of your record of releases and pull-outs: {chance}.")
    return " ".join(parts)


def _above_words(
    sortie: Sortie, chosen: FieldOutlook, fields: tuple[FieldOutlook, ...], cover: Cover
) -> str:
    """Return why no release is planned from the wanted height."""
    wanted_m = sortie.wish.wanted_amsl_m
    above = f"Above the {height_words(wanted_m)} you want"
    if cover.top_amsl_m < wanted_m:
        return f"{above}, the balloon does not get there."
    steps = [(one, each.name) for each in fields for one in each.steps if one.amsl_m >= wanted_m]
    if not steps:
        return f"{above}, hardly a balloon is whole."
    best, name = max(steps, key=lambda one: one[0].chance_ratio)
    told = f"best {chance_words(best.chance_ratio, sortie.wish.bounds)} at {name}"
    reason = band_over(chosen, wanted_m).reason
    return f"{above}, no field is worth a release ({told}{f'; {reason}' if reason else ''})."


def _uncounted_words(sortie: Sortie) -> list[str]:
    """Return which link a field is open without, though others are stated."""
    if not sortie.links:
        return []
    if not sortie.stands:
        return ["No stand is stated, so no link counts."]
    purposes = {link.purpose for link in sortie.links}
    missing = [name for name in ("command", "picture") if name not in purposes]
    return [f"No {' and no '.join(missing)} link is stated, so none counts."] if missing else []


def _cover_words(
    sortie: Sortie, release: ReleaseOutlook | None, fields: tuple[FieldOutlook, ...], cover: Cover
) -> list[str]:
    """Return when there is nowhere to land."""
    gaps = cover.gaps
    opened = [
        band.from_after_launch_s for field in fields for band in field.bands if band.state == "open"
    ]
    if not opened:
        if release is not None:
            return ["No field is open at any height."]
        return _nowhere_words(sortie, fields) if fields else []
    begins = clock_words(sortie, min(opened))
    if min(opened) >= cover.end_s:
        return [f"Before {begins}, later than {cover.end}, no field is open."]
    if not gaps:
        return [f"From {begins} to {cover.end} some field is always open."]
    told = " and ".join(_gap_words(sortie, gap) for gap in gaps[:2])
    times = "once" if len(gaps) == 3 else f"{len(gaps) - 2} times"
    more = f" and {times} more" if len(gaps) > 2 else ""
    wanted = chance_words(sortie.wish.open_ratio)
    return [f"No field at {wanted} {told}{more}, nor before {begins}."]


def _gap_words(sortie: Sortie, gap: Gap) -> str:
    """Return when no field is open, and how near the best of them comes."""
    start, end = (clock_words(sortie, s) for s in (gap.from_after_launch_s, gap.to_after_launch_s))
    best = chance_words(gap.best_ratio, sortie.wish.bounds)
    return f"from {start} to {end} (best on average {best} at {gap.best_field})"


def _best_words(sortie: Sortie, fields: tuple[FieldOutlook, ...]) -> list[str]:
    """Return the best chance of all fields and heights, where some open and none is worth it."""
    if not any(band.state == "open" for field in fields for band in field.bands):
        return []
    steps = [(one, field.name) for field in fields for one in field.steps]
    best, name = max(steps, key=lambda one: one[0].chance_ratio)
    at = f"{name}, released at {km_words(best.amsl_m)}"
    chance = chance_words(best.chance_ratio, sortie.wish.bounds)
    return [f"The best chance of all is {chance}: {at}."]


def _nowhere_words(sortie: Sortie, fields: tuple[FieldOutlook, ...]) -> list[str]:
    """Return that no field is open at any height, and how near the best of them comes."""
    steps = [(step, field) for field in fields for step in field.steps]
    if not steps:
        return ["No field is open at any height."]
    step, field = max(steps, key=lambda one: one[0].open_ratio)
    wanted = chance_words(sortie.wish.open_ratio)
    most = chance_words(step.open_ratio, sortie.wish.bounds)
    reason = _reason_words(_band_at(field, step.after_launch_s))
    high = "" if most == chance_words(0.0) else f", released at {km_words(step.amsl_m)}"
    best = f"best {most} at {field.name}{high}{reason}"
    return [f"Nowhere to land: no field at {wanted} at any height; {best}."]


def _band_at(field: FieldOutlook, after_launch_s: float) -> Band:
    """Return the band of a field in which a moment lies, the last for one past them all."""
    later = (band for band in field.bands if band.to_after_launch_s > after_launch_s)
    return next(later, field.bands[-1])


def _reason_words(band: Band) -> str:
    return f" ({band.reason})" if band.reason else ""


def _late_words(release: ReleaseOutlook) -> list[str]:
    """Return how to fly where the flattest way, circled down gently, ends too late."""
    end_s, field = release.must_end_after_launch_s, release.field
    ended = "the packs" if release.must_end_by == "packs" else "the light"
    if release.timely is not None:
        if release.timely.spare_m < _SPARE_M:
            return [f"The flattest way outlasts {ended}; in time, no height is to spare."]
        high = km_words(release.timely.spare_m)
        return [f"The flattest way outlasts {ended}: cross {field} at {high} or lower."]
    if not release.best_glide_end_after_launch_s > end_s:
        return []
    spiralled_s = release.firm_spiral_end_after_launch_s
    if spiralled_s is not None and spiralled_s <= end_s:
        return [f"Come down over {field} in the firm spiral: gentle circles outlast {ended}."]
    return [f"Fly the quickest way: all that keep more height outlast {ended}."]


def _other_words(
    sortie: Sortie, release: ReleaseOutlook, fields: tuple[FieldOutlook, ...]
) -> list[str]:
    """Return the field with a plainly better chance, and home where it is only a little worse."""
    low_m = min(sortie.wish.wanted_amsl_m, release.window.from_amsl_m)
    best: dict[str, FieldStep] = {}
    for field in fields:
        steps = [one for one in field.steps if one.amsl_m >= low_m]
        if steps and field.name != release.field:
            best[field.name] = max(steps, key=lambda one: (round(one.chance_ratio, 2), one.amsl_m))
    first = max(best, key=lambda name: best[name].chance_ratio, default="")
    told = [first] if first and best[first].chance_ratio >= release.chance_ratio + PLAINLY else []
    home = fields[0].name
    if home in best and home not in told:
        told += [home] if best[home].chance_ratio >= release.chance_ratio - _LITTLE else []
    return [_instead_words(sortie, name, best[name]) for name in told]


def _instead_words(sortie: Sortie, name: str, step: FieldStep) -> str:
    chance = chance_words(step.chance_ratio, sortie.wish.bounds)
    return f"{name} instead, at {km_words(step.amsl_m)}: {chance}."


def _shut_words(sortie: Sortie, field: FieldOutlook, release: ReleaseOutlook) -> list[str]:
    """Return when the chosen field is shut before the release, the launch itself left out.

    Where it is shut even at the release, there is the reason that keeps the chance low.
    """
    shut = [
        band
        for band in field.bands
        if band.state == "shut"
        and 0.0 < band.from_after_launch_s < release.window.from_after_launch_s
    ]
    if not shut:
        return []
    if shut[-1].to_after_launch_s > release.window.from_after_launch_s:
        return [f"What keeps the chance low: {shut[-1].reason}."] if shut[-1].reason else []
    longest = max(shut, key=lambda band: band.to_after_launch_s - band.from_after_launch_s)
    start = clock_words(sortie, longest.from_after_launch_s)
    end = clock_words(sortie, longest.to_after_launch_s)
    return [f"{field.name} is shut from {start} to {end}{_reason_words(longest)}."]
