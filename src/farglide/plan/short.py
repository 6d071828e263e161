"""Short: what a chance is short of, and which other field has as much or more."""

from typing import Final

from farglide.outlook.fields import FieldOutlook, FieldStep
from farglide.outlook.links import CarOutlook
from farglide.outlook.release import ReleaseOutlook
from farglide.plan.order import PLAINLY, band_over
from farglide.sortie.spec import Sortie
from farglide.sortie.words import at_most_words, chance_words, height_words

_LITTLE: Final = 0.1
"""A chance less by no more than this is a little less."""


def held_words(
    sortie: Sortie, release: ReleaseOutlook, chosen: FieldOutlook, car: CarOutlook | None
) -> list[str]:
    """Return what holds the chance below what the crew asks for: the weakest link, or its band."""
    if release.is_enough:
        return []
    wish, holds = sortie.wish, car.holds_ratio if car else ()
    name, ratio = min(holds, key=lambda one: one[1], default=("", 1.0))
    if car and ratio < wish.enough_ratio and ratio < release.chance_ratio + _LITTLE:
        stand = f"{car.stand}, the {'only' if len(sortie.stands) == 1 else 'best'} stand"
        lasts = f"the {name} lasts to the field in {chance_words(ratio, wish.bounds)} only"
        return [f"What holds it down: from {stand}, {lasts}."]
    band = band_over(chosen, release.release_by_amsl_m)
    return [f"What holds it down: {band.reason}."] if band.state == "doubtful" else []


def other_words(
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
    return [_instead_words(sortie, release, name, best[name]) for name in told]


def _instead_words(sortie: Sortie, release: ReleaseOutlook, name: str, step: FieldStep) -> str:
    """Return the chance of another field, and of a home as good why it is not the one chosen."""
    chance = chance_words(step.chance_ratio, sortie.wish.bounds)
    alike = chance == chance_words(release.chance_ratio, sortie.wish.bounds)
    if alike and name == sortie.fields[0].name:
        more = at_most_words(max(release.chance_ratio - step.chance_ratio, 0.0))
        ahead = (
            f"{release.field} is ahead by {more}{'' if more.startswith('under') else ' at most'}"
        )
        return f"Home has as much, {chance} released at {height_words(step.amsl_m)}: {ahead}."
    return f"Flying to {name} instead, released at {height_words(step.amsl_m)}: {chance}."
