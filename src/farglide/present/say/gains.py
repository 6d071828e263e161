"""What changes would buy, and what guesses cost."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from math import floor, isfinite
from typing import Final

from farglide.outlook.changes import Gain
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import SHUT_SPAN, duration_words, from_text, sentence
from farglide.sortie.words import chance_words

BETTER_HEAD: Final = "What would make it better"
WORSE_HEAD: Final = "What would make it worse"
UNKNOWNS_HEAD: Final = "What is not known, costliest first, and what would settle it"
SHUT: Final = "shut or doubtful"
SPAN_WORDS: Final = (
    f"{SHUT}: {SHUT_SPAN}, with fewer draws and heights than the table of "
    "fields, so a few minutes beside it"
)

Gains = Sequence[Gain]
_FELT: Final = 0.005
_ANY_RATIO: Final = 0.02
_MINUTE_S: Final = 60.0
_NO_TIME_S: Final = 0.5
_N_NEXT: Final = 2


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


def settle_sentences(outlook: Outlook) -> Iterator[str]:
    """Yield what to settle first, by which test, and what is in doubt as long as it is open."""
    told = [one for one in outlook.unknowns if outlook.release or _moves(one, outlook)]
    if not told:
        yield "Nothing: no number that is still open would change this answer."
        return
    first, *more = told
    what = sentence(first.what).removesuffix(".")
    test = first.advice.removesuffix(".") or "a test"
    yield f"{what}, by {test[0].lower()}{test[1:]}: until then {_doubt_words(first, outlook)}."
    if more:
        yield f"Then {' and '.join(one.what for one in more[:_N_NEXT])}."


def _moves(gain: Gain, outlook: Outlook) -> bool:
    return " to " in _sides_words(gain, outlook.bounds)


def _above(outlook: Outlook) -> str:
    """Return from which height a chance counts where no release says it."""
    area = outlook.launch
    return f", {from_text(area)}," if area is not None and outlook.release is None else ""


def _doubt_words(gain: Gain, outlook: Outlook) -> str:
    """Return what a guess leaves in doubt: the chance, or else the end of the window."""
    high = _above(outlook)
    if _moves(gain, outlook):
        worse, better = _sides_words(gain, outlook.bounds).split(" to ")
        return f"the chance{high} is between {worse} and {better}"
    shift = shift_words(gain.release_by_shift_s)
    if shift in ("the same", "–"):
        return "the chance is the same, the minutes are not"
    return f"the window may end {shift}, though the chance is the same"


def changes_parts(outlook: Outlook) -> tuple[Part, ...]:
    """Return the changes for better and for worse and what guesses cost."""
    better, worse = parted(outlook)
    parts = [
        _gains(BETTER_HEAD, "change", better, outlook),
        _gains(WORSE_HEAD, "change", worse, outlook),
        _gains(UNKNOWNS_HEAD, "guess", outlook.unknowns, outlook),
    ]
    return _with_span(parts)


def _gains(title: str, first: str, gains: Gains, outlook: Outlook) -> Part:
    field = chosen(outlook)
    base = (outlook.as_planned,) if gains and first == "change" else ()
    heads = (
        first,
        f"chance of {field}{_above(outlook)}".removesuffix(","),
        "shut or doubtful",
        "window ends",
    )
    columns = [*map(Column, heads)]
    has_advice = any(gain.advice for gain in gains)
    if has_advice:
        columns.append(Column("what to do", left=True))
    rows = []
    for gain in (*base, *gains):
        shift = shift_words(gain.release_by_shift_s) if _is_told(gain) else "–"
        chance = _sides_words(gain, outlook.bounds)
        row = (gain.what, chance, duration_words(gain.shut_s), shift)
        rows.append((*row, sentence(gain.advice)) if has_advice else row)
    told = [gain_words(gain, outlook) for gain in gains]
    facts = [words for words in told if words]
    return Part(title=title, facts=facts, table=Table(columns=columns, rows=rows))


def _with_span(parts: list[Part]) -> tuple[Part, ...]:
    """Return the parts, the last that tells of shut time with what it counts."""
    told = [k for k, part in enumerate(parts) if any(SHUT in str(one) for one in part.facts)]
    for k in told[-1:]:
        parts[k] = replace(parts[k], after=[SPAN_WORDS], paper=[SPAN_WORDS])
    return tuple(parts)


def gain_words(gain: Gain, outlook: Outlook) -> str:
    """Return in one line what moves and what to do; nothing where a reader sees nothing move."""
    base, moved = outlook.as_planned, list[str]()
    chance, before = _sides_words(gain, outlook.bounds), _sides_words(base, outlook.bounds)
    if chance != before:
        moved.append(f"the chance{_above(outlook)} is {chance} instead of {before}")
    if abs(gain.shut_s - base.shut_s) >= _MINUTE_S:
        now, before = map(_shut_words, (gain.shut_s, base.shut_s))
        moved.append(f"{SHUT} for {now} instead of {before}")
    if _is_told(gain) and shift_words(gain.release_by_shift_s) not in ("the same", "–"):
        ends = f"the window ends {shift_words(gain.release_by_shift_s)}"
        moved.append(f"but {ends}" if moved and _is_against(gain, base) else ends)
    if not moved and not gain.advice:
        return ""
    words = f"{gain.what}: {', '.join(moved)}" if moved else gain.what
    return f"{words}. {sentence(gain.advice)}" if gain.advice else words


def _is_against(gain: Gain, base: Gain) -> bool:
    """Tell whether the end of the window moves against the rest of a change."""
    return (gain.release_by_shift_s > 0.0) != _is_better(gain, base)


def _is_told(gain: Gain) -> bool:
    """Tell whether there is a last release to tell of: none without any chance."""
    return gain.chance_ratio + gain.moved_ratio >= _ANY_RATIO


def _sides_words(gain: Gain, bounds: Collection[float]) -> str:
    """Return the chance, of a guess that of its worse side to that of its better one."""
    worse = chance_words(gain.chance_ratio, bounds)
    better = chance_words(min(gain.chance_ratio + gain.moved_ratio, 1.0), bounds)
    return worse if better == worse else f"{worse} to {better}"


def _shut_words(shut_s: float) -> str:
    return "no time" if shut_s < _NO_TIME_S else duration_words(shut_s)


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
