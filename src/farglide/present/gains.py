"""Gains parted into those that make the flight better and those that make it worse."""

from typing import Final

from farglide.present.text import odds_words, sentence, shift_words, shut_words
from farglide.sortie.outlook import Gain, Outlook

BETTER_HEAD: Final = "What would make it better"
WORSE_HEAD: Final = "What would make it worse"
UNKNOWNS_HEAD: Final = "What we do not know, dearest first (if the guess is wrong)"

Gains = tuple[Gain, ...]


def home_odds_ratio(outlook: Outlook) -> float:
    """Return the odds of the first field as planned: of the release, or from the launch as it is.

    0 when neither is known: then no change can lower them.
    """
    release = outlook.release
    if release is not None and outlook.fields and release.field == outlook.fields[0].name:
        return release.odds_ratio
    here = (s for s in outlook.launch_spots if not s.up_drift_m and not s.across_m)
    return next((spot.odds_ratio for spot in here), 0.0)


def parted(outlook: Outlook) -> tuple[Gains, Gains]:
    """Return the gains that keep or raise the odds, and those that lower them."""
    home = home_odds_ratio(outlook)
    better = tuple(gain for gain in outlook.gains if gain.odds_ratio >= home)
    return better, tuple(gain for gain in outlook.gains if gain.odds_ratio < home)


def gain_words(gain: Gain) -> str:
    """Return a gain in one line: what, what it buys, and what to do."""
    words = (
        f"{gain.what}: home {odds_words(gain.odds_ratio)}, {shut_words(gain.shut_s)}, "
        f"last release {shift_words(gain.release_by_shift_s)}"
    )
    return f"{words}. {sentence(gain.advice)}" if gain.advice else words
