"""Unreleased: what is said below a balloon for which no release height ahead is good."""

from typing import Final

from farglide.outlook.advice import Advice
from farglide.present.say.spokenafter import MOST_SPOKEN

FLAT_RATIO: Final = 0.02
"""Chances that differ by less are alike."""


def unreleased_words(advice: Advice) -> str:
    """Return what to do: the best that there is now, or to wait, in nine words or fewer."""
    open_now = [one for one in advice.fields if one.state != "shut"]
    if open_now:
        best = max(open_now, key=lambda one: one.chance_ratio)
        named = f"No good height ahead. Best now: {best.name}."
        is_short = len(named.split()) <= MOST_SPOKEN
        return named if is_short else "No good height ahead. Release is best now."
    waits = advice.waiting
    if waits and max(one.chance_ratio for one in waits) - waits[0].chance_ratio >= FLAT_RATIO:
        return "No field is in reach yet. Wait."
    return "No field is in reach. Look for open ground."
