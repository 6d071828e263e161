"""Ride view in lines: what a terminal shows of a running ride, at any size from 80 by 24 up."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice, Level
from farglide.outlook.after import Stage
from farglide.outlook.freshness import Freshness
from farglide.outlook.rideview import RideView
from farglide.present.say.advice import spoken
from farglide.present.say.afterview import after_facts
from farglide.present.say.cardview import card_lines
from farglide.present.say.carriedview import carried_facts
from farglide.present.say.fitting import Fact, fitted
from farglide.present.say.groundview import hand_facts, lies_facts, lies_sentence, off_words
from farglide.present.say.heightline import WIDTH, height_lines
from farglide.present.say.text import FlightClock, duration_words, place_text, sentence
from farglide.present.say.viewfoot import age_text, clock_text, cut, foot_lines
from farglide.sortie.words import km_text

_SIGNS: Final = {Level.QUIET: ".", Level.WATCH: "o", Level.DECIDE: "^", Level.NOW: "!"}
_APART_S: Final = 15.0
_OLD_S: Final = 10.0
_BEHIND_S: Final = 5.0
"""An advice that is older, and a ride that is so far behind what it heard, are told as such."""
_SEEN_S: Final = 2.0
"""And that one who looks on for so long, in whatever time: a rehearsal passes faster."""
_LONG_S: Final = 30.0
_USUALLY: Final = "5 to 20 s"
_ONCE: Final = "1 to 2 min this first time"
"""How long the first answer takes on two cores: as measured, and what compiling adds."""


def view_lines(view: RideView, n_columns: int, n_rows: int) -> list[str]:
    """Return the lines of a screen but its last, at which is typed: `n_rows` - 1 of them."""
    clock = FlightClock(launch_t_s=view.launch_t_s, zone=view.zone)
    top = [*_top(view, clock, n_columns), "-" * n_columns]
    bottom = ["-" * n_columns, *foot_lines(view, list(_tables(view)), n_columns, n_rows)]
    n_middle = n_rows - 1 - len(top) - len(bottom)
    middle = _middle(view, clock, n_columns, n_middle)
    return [one[:n_columns] for one in (*top, *middle, *bottom)]


def plain_line(advice: Advice, clock: FlightClock) -> str:
    """Return an advice in one line, for where there is no screen."""
    changed = f" {sentence(advice.changed)}" if advice.changed else ""
    at = clock_text(clock.launch_t_s + advice.after_launch_s, clock.zone)
    head = f"{at} {advice.level.value.upper()}: {spoken(advice, clock)}"
    return " ".join(filter(None, (f"{head}{changed}", sentence(_where(advice)), _age(advice))))


def shown_advice(view: RideView) -> Advice | None:
    """Return the advice that is still shown; None where the flight has gone on beyond it."""
    advice = view.advice
    if advice is None or view.phase in ("on the hand", "down"):
        return None
    return None if view.is_loose and advice.after is None else advice


def _top(view: RideView, clock: FlightClock, n_columns: int) -> list[str]:
    advice = shown_advice(view)
    now = f"{clock_text(view.now_t_s, view.zone)} {view.phase}"
    if view.lies is not None:
        return [f"(o) DOWN  {lies_sentence(view.lies)}", now, ""]
    if advice is None:
        why = view.why or sentence(view.phase)
        return [
            *cut(why, n_columns, 2),
            f"{now}{_heard(view)}",
            *cut(_second(view), n_columns, 2),
        ]
    words = f"({_SIGNS[advice.level]}) {advice.level.value.upper()}  {spoken(advice, clock)}"
    first = f" {words} ".center(n_columns, "#") if advice.level is Level.NOW else words
    at = view.heard
    is_past = at is not None and at.t_s > view.launch_t_s + advice.after_launch_s + _OLD_S
    place = _heard(view) if is_past else f", {_where(advice)}"
    return [first, f"{now}{place}", *cut(_second(view), n_columns, 2)]


def _heard(view: RideView) -> str:
    """Return where it was heard last, while nothing is advised yet."""
    at = view.heard
    if at is None:
        return ""
    high = "" if at.amsl_m is None else f", {km_text(at.amsl_m)} km"
    ago = duration_words(max(view.now_t_s - at.t_s, 1.0))
    return f"{high}, {place_text(at.lat_deg, at.lon_deg)}, {ago} ago"


def _second(view: RideView) -> str:
    """Return what is not of now, what is off the plan, how old the place is, what changed."""
    advice, old_s = shown_advice(view), view.advised_ago_s
    told = []
    if view.behind_s >= max(_BEHIND_S, _SEEN_S * view.pace):
        told.append(
            f"Behind: {duration_words(view.behind_s)} of what was heard is not counted yet."
        )
    if advice is not None and view.why:
        ago = "" if old_s is None else f", {duration_words(old_s)} old"
        told.append(f"The last advice{ago}. {view.why}")
    elif advice is not None and old_s is not None and old_s >= max(_OLD_S, _SEEN_S * view.pace):
        told.append(f"This advice is {duration_words(old_s)} old.")
    if view.launch_off_s is not None and view.phase != "on the hand":
        told.append(off_words(view.launch_off_s))
    if advice is None and view.doing and view.phase == "on the hand":
        told.append(f"Meanwhile: {view.doing}.")
    if advice is not None:
        told.append(_age(advice))
        told.append(f"Changed: {sentence(advice.changed)}" if advice.changed else "")
        is_old = advice.data in (Freshness.GUESSED, Freshness.UNKNOWN)
        if is_old and advice.stage is not Stage.DOWN:
            told.append("Type digits or a bearing.")
    return " ".join(filter(None, told))


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
    within = f"9 in 10 within {max(place.most_within_m / 1000.0, 0.1):.1f} km"
    return f"Place {duration_words(age_s)} old{height}: {within}."


def _middle(view: RideView, clock: FlightClock, n_columns: int, n_rows: int) -> list[str]:
    """Return the ladder of heights with what to do beside it."""
    advice = shown_advice(view)
    if view.card:
        return card_lines(view.card, view.card_page, n_columns, n_rows)
    if advice is None or view.lies is not None:
        lines = fitted(_facts(view, clock), n_columns, n_rows)
        return lines + [""] * (n_rows - len(lines))
    left = height_lines(advice, clock, n_rows)
    after = advice.after
    facts = (
        carried_facts(advice, clock) if after is None else after_facts(advice, after, clock)
    )  # fmt: skip
    right = fitted(facts, n_columns - WIDTH, n_rows)
    right += [""] * (n_rows - len(right))
    return [f"{a:<{WIDTH}}{b}".rstrip() for a, b in zip(left, right, strict=True)]


def _facts(view: RideView, clock: FlightClock) -> Iterator[Fact]:
    """Yield what is read where no height is of use: on the ground, and before the first answer."""
    if view.lies is not None:
        yield from lies_facts(view.lies, clock)
    elif view.phase == "on the hand":
        yield from hand_facts(view, clock)
    elif view.summing_s is not None:
        so_far = duration_words(max(view.summing_s / view.pace, 1.0))
        yield Fact(f"{so_far} so far, usually {_ONCE if view.doing else _USUALLY}.")
        yield Fact("Fixes and marks are taken meanwhile. The log holds all of it.", 1)


def _tables(view: RideView) -> Iterator[str]:
    """Yield how old what is summed is: the winds learnt and the window, or the way ahead."""
    if view.tables_ago_s is None or shown_advice(view) is None:
        return
    what = "way ahead" if view.is_loose else "winds"
    long_s = (view.summing_s or 0.0) / view.pace
    soon = f", {duration_words(long_s)} at new ones" if long_s >= _LONG_S else ""
    yield f"{what} {age_text(view.tables_ago_s)} old{soon}"
