"""Ride view in lines: what a terminal shows of a running ride, at any size from 80 by 24 up."""

from collections.abc import Iterator
from textwrap import wrap
from typing import Final

from farglide.earth.clock import local_datetime
from farglide.outlook.advice import Advice, FieldNow, Level
from farglide.outlook.freshness import Freshness
from farglide.outlook.rideview import FeedAge, Remark, RideView
from farglide.present.say.advice import ENDS, spoken, waiting_words
from farglide.present.say.afterview import after_facts
from farglide.present.say.heightline import WIDTH, height_lines
from farglide.present.say.text import FlightClock, duration_words, place_text, sentence
from farglide.sortie.words import chance_words, km_text

LEAST: Final = (80, 24)
"""Columns and rows that a view needs."""
_SIGNS: Final = {Level.QUIET: ".", Level.WATCH: "o", Level.DECIDE: "^", Level.NOW: "!"}
_APART_S: Final = 15.0
_FIELDS: Final = {"open": "+", "doubtful": "~", "shut": "-"}


def view_lines(view: RideView, n_columns: int, n_rows: int) -> list[str]:
    """Return the lines of a screen but its last, at which is typed: `n_rows` - 1 of them."""
    clock = FlightClock(launch_t_s=view.launch_t_s, zone=view.zone)
    top = [*_top(view, clock, n_columns), "-" * n_columns]
    bottom = ["-" * n_columns, *_bottom(view, n_columns, n_rows)]
    n_middle = n_rows - 1 - len(top) - len(bottom)
    middle = _middle(view, clock, n_columns, n_middle)
    return [one[:n_columns] for one in (*top, *middle, *bottom)]


def plain_line(advice: Advice, clock: FlightClock) -> str:
    """Return an advice in one line, for where there is no screen."""
    changed = f" {sentence(advice.changed)}" if advice.changed else ""
    at = _clock_text(clock.launch_t_s + advice.after_launch_s, clock.zone)
    head = f"{at} {advice.level.value.upper()}: {spoken(advice, clock)}"
    return " ".join(filter(None, (f"{head}{changed}", sentence(_where(advice)), _age(advice))))


def shown_advice(view: RideView) -> Advice | None:
    """Return the advice that is still shown; None where the flight has gone on beyond it."""
    advice = view.advice
    if advice is None or view.phase in ("on the hand", "down"):
        return None
    is_loose = view.phase in ("released", "burst")
    return None if is_loose and advice.after is None else advice


def _top(view: RideView, clock: FlightClock, n_columns: int) -> list[str]:
    advice = shown_advice(view)
    now = f"{_clock_text(view.now_t_s, view.zone)} {view.phase}"
    if advice is None:
        return [view.why or sentence(view.phase), f"{now}; launch {clock.launch()}", ""]
    words = f"({_SIGNS[advice.level]}) {advice.level.value.upper()}  {spoken(advice, clock)}"
    first = f" {words} ".center(n_columns, "#") if advice.level is Level.NOW else words
    return [first, f"{now}, {_where(advice)}", _second(view, advice)]


def _second(view: RideView, advice: Advice) -> str:
    """Return what changed, or why this is not of now."""
    if view.why:
        ago = "" if view.advised_ago_s is None else f", {duration_words(view.advised_ago_s)} old"
        return f"The last advice{ago}. {view.why}"
    changed = f"Changed: {sentence(advice.changed)}" if advice.changed else ""
    return " ".join(filter(None, (_age(advice), changed)))


def _where(advice: Advice) -> str:
    place, data = advice.place, advice.data
    at = f"{km_text(place.amsl_m)} km, {place_text(place.lat_deg, place.lon_deg)}, {data.value}"
    return at if data is Freshness.FRESH else f"about {at}"


def _age(advice: Advice) -> str:
    """Return how old the last place is, and what that does; empty for a fresh one."""
    place, height_s = advice.place, advice.place.height_seen_after_launch_s
    if advice.data is Freshness.FRESH:
        return ""
    age_s = advice.after_launch_s - place.seen_after_launch_s
    height = ""
    if height_s is not None and height_s > place.seen_after_launch_s + _APART_S:
        height = f" (height {duration_words(max(advice.after_launch_s - height_s, 1.0))})"
    within = f"9 in 10 within {place.most_within_m / 1000.0:.1f} km"
    return f"Place {duration_words(age_s)} old{height}: {within}."


def _middle(view: RideView, clock: FlightClock, n_columns: int, n_rows: int) -> list[str]:
    """Return the ladder of heights with what to do beside it."""
    advice = shown_advice(view)
    if view.card:
        return _card(view.card, n_columns, n_rows)
    if advice is None:
        return [""] * n_rows
    left = height_lines(advice, clock, n_rows)
    width = n_columns - WIDTH
    told = (
        _facts(advice, clock)
        if advice.after is None
        else (after_facts(advice, advice.after, clock))
    )
    facts = [*told, *_tables(view)]
    right = [line for one in facts for line in wrap(one, width, subsequent_indent="  ")]
    if len(right) > n_rows:
        right = [*right[: n_rows - 1], "... widen or heighten this window for the rest"]
    right += [""] * (n_rows - len(right))
    return [f"{a:<{WIDTH}}{b}".rstrip() for a, b in zip(left, right, strict=True)]


def _card(card: tuple[str, ...], n_columns: int, n_rows: int) -> list[str]:
    """Return a card, and what takes it away."""
    lines = [
        part for line in card for part in wrap(line, n_columns, subsequent_indent="    ") or [""]
    ]
    if len(lines) >= n_rows:
        lines = [*lines[: n_rows - 1], "... widen or heighten this window for the rest"]
    else:
        lines.append("(Enter takes this card away.)")
    return lines + [""] * (n_rows - len(lines))


def _facts(advice: Advice, clock: FlightClock) -> Iterator[str]:
    release = advice.release
    if release is None:
        yield "No release height ahead is good."
    else:
        span = f"{km_text(release.from_amsl_m)} to {km_text(release.to_amsl_m)} km"
        yield f"Release for {release.field}, {span}: {chance_words(release.chance_ratio)}."
        by = clock.local(release.release_by_after_launch_s)
        left = _left_words(release.release_by_after_launch_s - advice.after_launch_s)
        yield f"Release by {by} ({left}); {ENDS[release.bound_by]}."
    yield from (_field(one, clock) for one in advice.fields)
    yield waiting_words(advice.waiting)
    if advice.burst is not None:
        yield f"Burst: {clock.spread(advice.burst.after_launch_s)}."


def _tables(view: RideView) -> Iterator[str]:
    if view.tables_ago_s is not None:
        soon = ", newer ones soon" if view.is_summing else ""
        yield f"Winds and window as of {view.tables_ago_s:.0f} s ago{soon}."


def _left_words(left_s: float) -> str:
    """Return how much time is left, minutes and seconds.

    >>> _left_words(245.0), _left_words(-3.0)
    ('4:05 left', 'past')
    """
    if left_s < 0.0:
        return "past"
    minutes, seconds = divmod(int(left_s), 60)
    return f"{minutes}:{seconds:02d} left"


def _field(one: FieldNow, clock: FlightClock) -> str:
    then = ""
    if one.until_after_launch_s is not None:
        then = f", {one.then} from {clock.local(one.until_after_launch_s)}"
    return f"{_FIELDS[one.state]} {one.name}: {one.state} {chance_words(one.chance_ratio)}{then}"


def _bottom(view: RideView, n_columns: int, n_rows: int) -> list[str]:
    """Return feeds, what is odd, entries, the alarm and what was understood."""
    n_more = max(0, (n_rows - LEAST[1]) // 4)
    feeds = "; ".join(_feed(one) for one in view.feeds) or "none"
    lines = _cut(f"Feeds  {feeds}", n_columns, 2 + n_more)
    for one in view.odd[-1 - n_more :]:
        lines += _cut(f"Odd    {_remark(one, view.zone)}", n_columns, 2)
    entries = "; ".join(_remark(one, view.zone) for one in view.entries[-3 - n_more :])
    lines += _cut(f"Typed  {entries or 'nothing yet'}", n_columns, 1 + n_more)
    if view.alarm:
        lines += _cut(f"!!!    {view.alarm}", n_columns, 2)
    return lines + _cut(
        view.answer or "Type an entry; u takes the last back, q ends.", n_columns, 3
    )


def _feed(one: FeedAge) -> str:
    if one.trouble and one.heard_ago_s is None:
        return f"{one.name} {one.trouble}"
    if one.heard_ago_s is None:
        return f"{one.name} not heard yet"
    if one.placed_ago_s is None:
        return f"{one.name} ({one.of}) heard, no position"
    trouble = f" ({one.trouble})" if one.trouble else ""
    ago = f"{one.placed_ago_s:.0f} s" if one.placed_ago_s < 120.0 else duration_words(
        one.placed_ago_s)  # fmt: skip
    return f"{one.name} ({one.of}) {one.data.value} {ago}{trouble}"


def _remark(one: Remark, zone: str) -> str:
    return f"{_clock_text(one.t_s, zone)} {one.words}"


def _cut(words: str, n_columns: int, n_lines: int) -> list[str]:
    """Return words in so many lines at most, the end of the last cut."""
    lines = wrap(words, n_columns, subsequent_indent=" " * 7)
    if len(lines) > n_lines:
        lines = [*lines[: n_lines - 1], lines[n_lines - 1][: n_columns - 4] + " ..."]
    return lines


def _clock_text(t_s: float, zone: str) -> str:
    """Return a time to the second, in a zone."""
    return f"{local_datetime(t_s, zone):%H:%M:%S}"
