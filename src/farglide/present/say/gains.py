"""Gains parted into those that make the flight better and those that make it worse."""

from typing import Final

from farglide.outlook.changes import Gain
from farglide.outlook.outlook import Outlook
from farglide.present.say.text import odds_words, sentence, shift_words, shut_words

BETTER_HEAD: Final = "What would make it better"
WORSE_HEAD: Final = "What would make it worse"
UNKNOWNS_HEAD: Final = "What we do not know, dearest first (if the guess is wrong)"

Gains = tuple[Gain, ...]
_FELT: Final = 0.005


def chosen(outlook: Outlook) -> str:
    """Return the field that changes are told for."""
    if outlook.release is not None:
        return outlook.release.field
    return outlook.fields[0].name if outlook.fields else "home"


def parted(outlook: Outlook) -> tuple[Gains, Gains]:
    """Return the gains that keep or raise the odds, and those that lower them."""
    base = outlook.as_planned
    better = tuple(gain for gain in outlook.gains if _is_better(gain, base))
    return better, tuple(gain for gain in outlook.gains if not _is_better(gain, base))


def _is_better(gain: Gain, base: Gain) -> bool:
    """Tell which side a change falls on: by the odds, and where they hardly move by the rest."""
    if abs(gain.odds_ratio - base.odds_ratio) >= _FELT:
        return gain.odds_ratio > base.odds_ratio
    if abs(gain.shut_s - base.shut_s) >= 60.0:
        return gain.shut_s < base.shut_s
    return gain.release_by_shift_s >= 0.0  # alike, but a later last release leaves more time


def base_words(outlook: Outlook) -> str:
    """Return what the changes are told against, in one line."""
    base = outlook.as_planned
    return f"as planned: {chosen(outlook)} {odds_words(base.odds_ratio)}, {shut_words(base.shut_s)}"


def gain_words(gain: Gain, field: str) -> str:
    """Return a gain in one line: what, what it buys, and what to do."""
    words = (
        f"{gain.what}: {field} {odds_words(gain.odds_ratio)}, {shut_words(gain.shut_s)}, "
        f"last release {shift_words(gain.release_by_shift_s)}"
    )
    return f"{words}. {sentence(gain.advice)}" if gain.advice else words
