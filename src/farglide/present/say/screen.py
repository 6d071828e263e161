"""The first screen: where from, which field, when, by when, what if, what is missing or guessed."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate
from textwrap import wrap
from typing import Final, NamedTuple

from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.lines import WIDTH
from farglide.present.say.gains import settle_sentences
from farglide.present.say.ground import (
    fill_sentences,
    ground_wind_words,
    launch_sentences,
    permission_sentences,
    wind_sentences,
)
from farglide.present.say.links.car import blind_sentences, car_sentences
from farglide.present.say.text import FlightClock, sentence
from farglide.present.say.unsteered import tied_sentences, unsteered_sentences
from farglide.sortie.words import permission_words

LINES: Final = 37
"""So many lines at 100 columns; with the last word below them a screen has 40."""
_FIRST_LINES: Final = LINES - 5
"""Of them what is known before anything is compared may take so many."""
_CAPS: Final = (9, 4, 3, 2, 1)
"""Lines of a row, from what is wished for down to its first sentence alone."""
_LABEL: Final = 14
_MOST_NAMES: Final = 6
_MOST_LETTERS: Final = 140
_NEXT: Final = re.compile(r"(?<=[.?!])(?<![A-Z]\.)(?<![A-Z][a-z]\.) (?=[A-Z])")
"""Where a sentence begins; not behind a short word with a capital, as in St. or Mt."""


class Row(NamedTuple):
    """A label, what it says, the most important first, and how many lines there are for it."""

    label: str
    told: Iterable[str]
    most: int = 2
    kept: int = 1  # so many sentences stand whatever room there is


def screen_lines(outlook: Outlook, width: int = WIDTH) -> list[str]:
    """Return what decides, in at most 40 lines of 100 columns; narrower lines are more."""
    return [*decision_lines(outlook, width), *compared_lines(outlook, width)]


def decision_lines(outlook: DecisionOutlook, width: int = WIDTH) -> list[str]:
    """Return what is known once the release is decided on; nothing later changes a line of it."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    lines = [] if outlook.cleared else wrap(_not_cleared(outlook), width)
    if outlook.suspicions:
        lines += wrap(f"LOOK AGAIN. {first_two(outlook.suspicions, 'the notes of --full')}", width)
    lines += [*wrap(outlook.verdict, width), ""]
    rows = [row._replace(told=[*row.told]) for row in _decision_rows(outlook, clock)]
    return [*lines, *_fitting(rows, width, _FIRST_LINES - len(lines))]


def compared_lines(outlook: Outlook, width: int = WIDTH) -> list[str]:
    """Return what is known once the flight was compared with others: the end of the screen."""
    return _row_lines(_compared_rows(outlook), width, max(_CAPS))


def left_out(outlook: Outlook) -> list[str]:
    """Return the sentences that the screen has no room for, each with the label of its row."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    shown = " ".join(" ".join(screen_lines(outlook)).split())
    rows = (*_decision_rows(outlook, clock), *_compared_rows(outlook))
    return [
        f"{row.label}: {words}"
        for row in rows
        for words in row.told
        if " ".join(words.split()) not in shown
    ]


def _not_cleared(outlook: DecisionOutlook) -> str:
    return f"NOT CLEARED. Missing: {_names(map(permission_words, outlook.missing))}."


def first_two(suspicions: Sequence[str], where: str) -> str:
    """Return what looks most like a slip, and where all of it stands."""
    more = len(suspicions) - 2
    told = " ".join(suspicions[:2])
    return f"{told} {more} more: see {where}." if more > 0 else told


def _decision_rows(outlook: DecisionOutlook, clock: FlightClock) -> Iterator[Row]:
    if outlook.order:
        yield Row("By when", [outlook.order], 3)
    yield Row("Limit", _NEXT.split(outlook.why), 7)
    yield Row("Launch", launch_sentences(outlook, clock), 3, 2)
    wind_mps, limit_mps = outlook.ground_wind_mps, outlook.ground_wind_limit_mps
    yield Row("Ground wind", [ground_wind_words(wind_mps, limit_mps)])
    yield Row("Permissions", permission_sentences(outlook))
    yield Row("Winds", wind_sentences(outlook), 3)
    yield Row("Car", car_sentences(outlook, clock))
    yield Row("Fill", fill_sentences(outlook))
    yield Row("No picture", blind_sentences(outlook, clock), 5, 2)
    yield Row("Burst", tied_sentences(outlook))
    yield Row("Not steered", unsteered_sentences(outlook, clock))
    yield Row("Guessed", _guess_sentences(outlook), 4)


def _guess_sentences(outlook: DecisionOutlook) -> Iterator[str]:
    yield sentence(_names(outlook.guesses)) if outlook.guesses else "Nothing."
    if outlook.usual:
        yield f"Usual values, not measured: {_names(outlook.usual)}."


def _names(names: Iterable[str]) -> str:
    """Return names in a row, the first of many."""
    first = list(names)
    letters = accumulate(map(len, first))
    n = max(sum(length <= _MOST_LETTERS for length in letters), 1)
    told = first[: min(n, _MOST_NAMES)]
    more = len(first) - len(told)
    return f"{', '.join(told)} and {more} more" if more else ", ".join(told)


def _compared_rows(outlook: Outlook) -> Iterator[Row]:
    if outlook.launch is not None:
        same = "No other place to launch from is plainly better."
        yield Row("Elsewhere", _NEXT.split(outlook.elsewhere or same), 3)
    if outlook.would_open:
        yield Row("To open it", [sentence("; or ".join(outlook.would_open))])
    yield Row("Test first", settle_sentences(outlook))


def _fitting(rows: Sequence[Row], width: int, most: int) -> list[str]:
    """Return rows with as many of their sentences as fit into some lines of 100 columns."""
    for cap in _CAPS:
        if len(_row_lines(rows, WIDTH, cap)) <= most:
            return _row_lines(rows, width, cap)
    return _row_lines([row._replace(kept=1) for row in rows], width, _CAPS[-1])


def _row_lines(rows: Iterable[Row], width: int, cap: int) -> list[str]:
    """Return rows, each with as many of its sentences as its lines hold, the first ones always."""
    lines: list[str] = []
    for row in rows:
        told = [words for words in row.told if words]
        if not told:
            continue
        kept = _wrapped(row.label, told[:1], width)
        for n in range(2, len(told) + 1):
            longer = _wrapped(row.label, told[:n], width)
            if n > row.kept and len(longer) > min(row.most, cap):
                break
            kept = longer
        lines += kept
    return lines


def _wrapped(label: str, told: Sequence[str], width: int) -> list[str]:
    first, more = f"{label:<{_LABEL}}", " " * _LABEL
    return wrap(" ".join(told), width, initial_indent=first, subsequent_indent=more)
