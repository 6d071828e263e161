"""Verdict: the answer and the reason as sentences, made of what was found and nothing else."""

import math

from farglide.outlook.fields import FieldOutlook
from farglide.outlook.release import ReleaseOutlook
from farglide.plan.order import (
    clock_words,
    window_words,
)
from farglide.sortie.spec import Sortie
from farglide.sortie.words import at_least_words, chance_words, km_words


def verdict(
    sortie: Sortie, release: ReleaseOutlook | None, fields: tuple[FieldOutlook, ...]
) -> str:
    """Return the decision in one sentence, or that there is none and the best chance of all."""
    begins = f"Launch from {sortie.launch.name} at {clock_words(sortie, 0.0)}"
    if not sortie.fields:
        return f"{begins}: no field is prepared, so there is nowhere to land."
    if release is None:
        when = f"from {sortie.launch.name} at {clock_words(sortie, 0.0)}"
        return f"No release is worth it at any height, {when}. {_best_words(sortie, fields)}"
    home = release.field == sortie.fields[0].name
    where = f"coming home to {release.field}" if home else f"landing at {release.field}"
    return f"{begins}, {window_words(sortie, release)}: the chance of {where} is " + (
        f"{_both_words(sortie, release)}."
    )


def _both_words(sortie: Sortie, release: ReleaseOutlook) -> str:
    """Return the chance given that all works, and what the crew's record leaves of it."""
    chance = chance_words(release.chance_ratio, sortie.wish.bounds)
    works = f"{chance} if the release and the pull-out work"
    if math.isnan(release.product_ratio):
        return f"{works}; how often they do, no test of both says"
    proven = at_least_words(release.product_ratio)
    if not proven:
        return f"{works}; your tests of both prove less than 1 in 50"
    return f"{works}, and by your tests of both at least {proven}"


def _best_words(sortie: Sortie, fields: tuple[FieldOutlook, ...]) -> str:
    """Return the best chance of all fields and heights."""
    steps = [(one, field.name) for field in fields for one in field.steps]
    if not steps:
        return "No field comes into reach."
    best, name = max(steps, key=lambda one: one[0].chance_ratio)
    chance = chance_words(best.chance_ratio, sortie.wish.bounds)
    if chance == chance_words(0.0):
        return f"Every field has a chance of {chance}."
    return f"The best chance is {chance}: {name}, released at {km_words(best.amsl_m)}."
