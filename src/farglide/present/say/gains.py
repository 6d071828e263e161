"""What changes would buy, and what guesses cost."""

from collections.abc import Collection, Sequence
from math import floor, isfinite
from typing import Final

from farglide.outlook.changes import Gain
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import duration_words, sentence
from farglide.sortie.words import chance_words

BETTER_HEAD: Final = "What would make it better"
WORSE_HEAD: Final = "What would make it worse"
UNKNOWNS_HEAD: Final = "What we do not know, costliest first (if the guess is wrong)"

Gains = Sequence[Gain]
_FELT: Final = 0.005
_ANY_RATIO: Final = 0.02


def chosen(outlook: Outlook) -> str:
    """Return the field that changes are told for."""
    if outlook.release is not None:
        return outlook.release.field
    return outlook.fields[0].name if outlook.fields else "home"


def parted(outlook: Outlook) -> tuple[Gains, Gains]:
    """Return the gains that keep or raise the chance, and those that lower them."""
    better = [gain for gain in outlook.gains if _is_better(gain, outlook.as_planned)]
    return better, [gain for gain in outlook.gains if gain not in better]


def _is_better(gain: Gain, base: Gain) -> bool:
    """Tell which side a change falls on: by the chance, and where they hardly move by the rest."""
    if abs(gain.chance_ratio - base.chance_ratio) >= _FELT:
        return gain.chance_ratio > base.chance_ratio
    if abs(gain.shut_s - base.shut_s) >= 60.0:
        return gain.shut_s < base.shut_s
    return gain.release_by_shift_s >= 0.0  # alike, but a later last release leaves more time


def base_part(outlook: Outlook) -> Part:
    """Return what the changes are told against, for a terminal."""
    base = outlook.as_planned
    chance = chance_words(base.chance_ratio, outlook.bounds)
    words = f"{chosen(outlook)} {chance}, {shut_words(base.shut_s)}"
    told = (f"What changes are told against: as planned: {words}.",) if outlook.gains else ()
    return Part(margin=0, facts=told)


def changes_parts(outlook: Outlook) -> tuple[Part, ...]:
    """Return the changes for better and for worse and what guesses cost."""
    better, worse = parted(outlook)
    return (
        _gains(BETTER_HEAD, "change", better, outlook),
        _gains(WORSE_HEAD, "change", worse, outlook),
        _gains(UNKNOWNS_HEAD, "guess", outlook.unknowns, outlook),
    )


def _gains(title: str, first: str, gains: Gains, outlook: Outlook) -> Part:
    field = chosen(outlook)
    base = (outlook.as_planned,) if gains and first == "change" else ()
    columns = [*map(Column, (first, field, "not open", "last release"))]
    has_advice = any(gain.advice for gain in gains)
    if has_advice:
        columns.append(Column("what to do", left=True))
    rows = []
    for gain in (*base, *gains):
        shift = shift_words(gain.release_by_shift_s) if _is_told(gain) else "–"
        chance = _sides_words(gain, outlook.bounds)
        row = (gain.what, chance, duration_words(gain.shut_s), shift)
        rows.append((*row, sentence(gain.advice)) if has_advice else row)
    facts = [gain_words(gain, field, outlook.bounds) for gain in gains]
    return Part(title=title, facts=facts, table=Table(columns=columns, rows=rows))


def gain_words(gain: Gain, field: str, bounds: Collection[float] = ()) -> str:
    """Return a gain in one line: what, what it buys, and what to do.

    `bounds`: as of `chance_words`.
    """
    chance = f"{field} {_sides_words(gain, bounds)}, {shut_words(gain.shut_s)}"
    words = f"{gain.what}: {chance}"
    if _is_told(gain):
        words += f", last release {shift_words(gain.release_by_shift_s)}"
    return f"{words}. {sentence(gain.advice)}" if gain.advice else words


def _is_told(gain: Gain) -> bool:
    """Tell whether there is a last release to tell of: none without any chance."""
    return gain.chance_ratio + gain.moved_ratio >= _ANY_RATIO


def _sides_words(gain: Gain, bounds: Collection[float]) -> str:
    """Return the chance, of a guess that of its worse side to that of its better one."""
    worse = chance_words(gain.chance_ratio, bounds)
    better = chance_words(min(gain.chance_ratio + gain.moved_ratio, 1.0), bounds)
    return worse if better == worse else f"{worse} to {better}"


def shut_words(shut_s: float) -> str:
    """Return how long a field is not open: shut or doubtful.

    >>> shut_words(0.0), shut_words(2040.0)
    ('always open', 'not open 34 min')
    """
    return "always open" if shut_s < 0.5 else f"not open {duration_words(shut_s)}"


def shift_words(shift_s: float) -> str:
    """Return by how much a moment moves, in minutes.

    >>> shift_words(-240.0), shift_words(60.0), shift_words(12.0)
    ('4 min earlier', '1 min later', 'the same')
    """
    if not isfinite(shift_s):
        return "–"
    n_minutes = floor(abs(shift_s) / 60.0 + 0.5)
    if not n_minutes:
        return "the same"
    return f"{n_minutes} min {'later' if shift_s > 0.0 else 'earlier'}"
