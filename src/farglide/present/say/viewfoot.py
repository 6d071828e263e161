"""Foot of the ride's screen: how old all is, what is odd, what was typed, and what may be."""

from textwrap import wrap
from typing import Final

from farglide.earth.clock import local_datetime
from farglide.outlook.rideview import FeedAge, Remark, RideView
from farglide.sortie.words import duration_words

LEAST: Final = (80, 24)
"""Columns and rows that a view needs."""
_ANSWER_ROWS: Final = 5
"""Rows of an answer to what was typed: the longest of ours, all words that may be typed."""
_CARRIED: Final = "Type: rs sent, r released, b burst, stuck, q 4 picture, ? asks, u undoes, q ends"
_KEYS: Final = {
    "on the hand": "Type: l launched, late 20, neck 1.6, at STAND, ? asks, u undoes, q ends",
    "down": "Type: u takes the mark back, at STAND, q ends",
}
_LOOSE: Final = "Type: lost, back, q 4 picture, landed, for FIELD, ? asks, u undoes, q ends"


def foot_lines(view: RideView, tables: list[str], n_columns: int, n_rows: int) -> list[str]:
    """Return feeds, what is odd, entries, the alarm and what was understood.

    `tables`: how old what is summed is, in words.
    """
    n_more = max(0, (n_rows - LEAST[1]) // 4)
    feeds = [_feed(one) for one in view.feeds] or ["no feed"]
    lines = cut(f"Ages   {'; '.join((*tables, *feeds))}", n_columns, 2 + n_more)
    for one in view.odd[-1 - n_more :]:
        lines += cut(f"Odd    {_remark(one, view.zone)}", n_columns, 2)
    lines += _typed(view, n_columns, n_more)
    if view.alarm:
        lines += cut(f"!!!    {view.alarm}", n_columns, 2)
    keys = _KEYS.get(view.phase, _LOOSE if view.is_loose else _CARRIED)
    return lines + cut(view.answer or keys, n_columns, _ANSWER_ROWS)


def _typed(view: RideView, n_columns: int, n_more: int) -> list[str]:
    """Return what was typed last: the newest whole, older ones as far as there is room."""
    told = [_remark(one, view.zone) for one in view.entries[-3 - n_more :]]
    for k in range(len(told)):
        lines = cut(f"Typed  {'; '.join(told[k:])}", n_columns, _ANSWER_ROWS)
        if len(lines) <= 1 + n_more or k == len(told) - 1:
            return lines
    return ["Typed  nothing yet"]


def _feed(one: FeedAge) -> str:
    if one.trouble and one.heard_ago_s is None:
        return f"{one.name} {one.trouble}"
    if one.heard_ago_s is None:
        return f"{one.name} not heard yet"
    whose = one.name if one.name == one.of else f"{one.name} ({one.of})"
    if one.placed_ago_s is None:
        return f"{whose} heard, no position"
    trouble = f" ({one.trouble})" if one.trouble else ""
    return f"{whose} {one.data.value} {age_text(one.placed_ago_s)}{trouble}"


def age_text(age_s: float) -> str:
    """Return an age: in seconds up to two minutes, in words from there on."""
    return f"{age_s:.0f} s" if age_s < 120.0 else duration_words(age_s)


def _remark(one: Remark, zone: str) -> str:
    return f"{clock_text(one.t_s, zone)} {one.words}"


def cut(words: str, n_columns: int, n_lines: int) -> list[str]:
    """Return words in so many lines at most, the end of the last cut."""
    lines = wrap(words, n_columns, subsequent_indent=" " * 7) or [""]
    if len(lines) > n_lines:
        lines = [*lines[: n_lines - 1], lines[n_lines - 1][: n_columns - 4] + " ..."]
    return lines


def clock_text(t_s: float, zone: str) -> str:
    """Return a time to the second, in a zone."""
    return f"{local_datetime(t_s, zone):%H:%M:%S}"
