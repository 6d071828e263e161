"""Changed: the one change that would have bought most on the forecast of the day."""

from farglide.outlook.outlook import Outlook
from farglide.outlook.review import BestChange

LEAST_RATIO = 0.01
"""What moves the chance by less is nothing that a reader could see."""


def best_change(plan: Outlook) -> BestChange | None:
    """Return the change that brings the chance of the chosen field highest, of those tried.

    And the guess that moves it most, to be settled first. None without a field to compare for.
    """
    base = plan.as_planned
    better = [one for one in plan.gains if one.chance_ratio - base.chance_ratio >= LEAST_RATIO]
    unknown = max(plan.unknowns, key=lambda one: one.moved_ratio, default=None)
    has_unknown = unknown is not None and unknown.moved_ratio >= LEAST_RATIO
    if not plan.fields:
        return None
    best = max(better, key=lambda one: one.chance_ratio, default=None)
    return BestChange(
        what="" if best is None else best.what,
        field=plan.release.field if plan.release else plan.fields[0].name,
        from_ratio=base.chance_ratio,
        to_ratio=base.chance_ratio if best is None else best.chance_ratio,
        advice="" if best is None else best.advice,
        unknown=unknown.what if unknown is not None and has_unknown else "",
        unknown_ratio=unknown.moved_ratio if unknown is not None and has_unknown else 0.0,
    )
