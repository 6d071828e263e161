"""Why: what limits the chance, in a few sentences, made of what was found and nothing else."""

from typing import Final, NamedTuple

from farglide.outlook.fields import Band, FieldOutlook, FieldStep, Gap
from farglide.outlook.release import ReleaseOutlook
from farglide.plan.order import (
    PLAINLY,
    band_over,
    clock_words,
    enough_words,
    higher_words,
    lower_words,
    some_field_words,
)
from farglide.sortie.spec import Sortie
from farglide.sortie.words import chance_words, height_words, km_words, winds_end_words

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


def why(
    sortie: Sortie,
    release: ReleaseOutlook | None,
    fields: tuple[FieldOutlook, ...],
    cover: Cover,
) -> str:
    """Return the reason in a few short sentences."""
    uncounted = _uncounted_words(sortie) if fields else []
    parts = list(uncounted) if release else []
    if release is not None:
        chosen = next(field for field in fields if field.name == release.field)
        parts += enough_words(sortie, release)
        parts += lower_words(sortie, release, fields)
        parts += some_field_words(sortie, release)
        wanted_m, to_m = sortie.wish.wanted_amsl_m, release.window.to_amsl_m
        if to_m < wanted_m:
            parts.append(_above_words(sortie, chosen, fields, cover))
        parts += _shut_words(sortie, chosen, release)
        parts += _late_words(release)
        parts += higher_words(sortie, release)
        parts += _other_words(sortie, release, fields)
        known_m = cover.beyond_amsl_m
        if known_m is not None and to_m > known_m + 500.0:
            parts.append(winds_end_words(known_m))
    parts += _cover_words(sortie, release, fields, cover)
    return " ".join(parts if release else [*parts, *uncounted])


def _above_words(
    sortie: Sortie, chosen: FieldOutlook, fields: tuple[FieldOutlook, ...], cover: Cover
) -> str:
    """Return why no release is planned from the wanted height."""
    wanted_m = sortie.wish.wanted_amsl_m
    wanted = f"the {height_words(wanted_m)} you want"
    if cover.top_amsl_m < wanted_m:
        return f"The balloon does not climb to {wanted}."
    steps = [(one, each.name) for each in fields for one in each.steps if one.amsl_m >= wanted_m]
    if not steps:
        return f"Hardly a balloon is still whole at {wanted}."
    best, name = max(steps, key=lambda one: one[0].chance_ratio)
    told = f"the best is {chance_words(best.chance_ratio, sortie.wish.bounds)} at {name}"
    reason = band_over(chosen, wanted_m).reason
    because = f"; {reason}" if reason else ""
    return f"From {wanted} upward no field is worth a release ({told}{because})."


def _uncounted_words(sortie: Sortie) -> list[str]:
    """Return which link a field is open without, though others are stated."""
    if not sortie.links:
        return ["No link is stated, so none is counted: the real chance may be lower."]
    if not sortie.stands:
        return ["No stand is stated, so the links are not counted: the real chance may be lower."]
    purposes = {link.purpose for link in sortie.links}
    missing = [name for name in ("command", "picture") if name not in purposes]
    told = " and no ".join(missing)
    return [f"No {told} link is stated, so none is counted."] if missing else []


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
            return [f"No field has {chance_words(sortie.wish.open_ratio)} at any height."]
        return _nowhere_words(sortie, fields) if fields else []
    begins = clock_words(sortie, min(opened))
    end = f"{clock_words(sortie, cover.end_s)}, {cover.end}"
    if min(opened) >= cover.end_s:
        return [f"No field opens before {begins}; that is after {end}."]
    if not gaps:
        return [f"From {begins} to {end}, some field is always open."]
    told = " and ".join(_gap_words(sortie, gap) for gap in gaps[:2])
    times = "once" if len(gaps) == 3 else f"{len(gaps) - 2} times"
    more = f" and {times} more" if len(gaps) > 2 else ""
    wanted = chance_words(sortie.wish.open_ratio)
    return [f"No field has {wanted} {told}{more}, nor does any before {begins}."]


def _gap_words(sortie: Sortie, gap: Gap) -> str:
    """Return when no field is open, and how near the best of them comes."""
    start, end = (clock_words(sortie, s) for s in (gap.from_after_launch_s, gap.to_after_launch_s))
    best = chance_words(gap.best_ratio, sortie.wish.bounds)
    return f"from {start} to {end} ({gap.best_field} comes nearest, {best} on average)"


def _nowhere_words(sortie: Sortie, fields: tuple[FieldOutlook, ...]) -> list[str]:
    """Return that no field is open at any height, and what keeps the best of them from it."""
    said = f"No field has {chance_words(sortie.wish.open_ratio)} at any height."
    steps = [(step.open_ratio, field) for field in fields for step in field.steps]
    if not steps:
        return [said]
    _, field = max(steps, key=lambda one: one[0])
    longest = max(field.bands, key=_lasts_s)
    if not longest.reason:
        return [said]
    return [f"{said} What keeps {field.name} from it: {longest.reason}."]


def _lasts_s(band: Band) -> float:
    return band.to_after_launch_s - band.from_after_launch_s


def _reason_words(band: Band) -> str:
    return f" ({band.reason})" if band.reason else ""


def _late_words(release: ReleaseOutlook) -> list[str]:
    """Return how to fly where the flattest way, circled down gently, ends too late."""
    end_s, field = release.must_end_after_launch_s, release.field
    late = "after the packs end" if release.must_end_by == "packs" else "after dark"
    if release.timely is not None:
        said = f"The flattest glide lands {late}"
        if release.timely.spare_m < _SPARE_M:
            return [f"{said}. Flown fast enough to land in time, it has no height to spare."]
        high = km_words(release.timely.spare_m)
        return [f"{said}. Fly faster: cross {field} at {high} or lower."]
    if not release.best_glide_end_after_launch_s > end_s:
        return []
    spiralled_s = release.firm_spiral_end_after_launch_s
    if spiralled_s is not None and spiralled_s <= end_s:
        return [f"Over {field} come down in the firm spiral: gentle circles land it {late}."]
    return [f"Fly the quickest way: every way that keeps more height lands {late}."]


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
    return f"Flying to {name} instead, released at {km_words(step.amsl_m)}: {chance}."


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
    longest = max(shut, key=_lasts_s)
    start = clock_words(sortie, longest.from_after_launch_s)
    end = clock_words(sortie, longest.to_after_launch_s)
    reason = _reason_words(longest)
    return [f"Released from {start} to {end}, it would hardly get to {field.name}{reason}."]
