"""Parts of a review: promises, next values, winds, honesty and the best change."""

from collections.abc import Iterator

from farglide.outlook.review import Choice, FlightReview, Review
from farglide.present.part import Column, Fact, Part, Strong, Table
from farglide.present.say.review.numbers import (
    came_text,
    flights_text,
    range_text,
    spread_text,
    told_text,
    was_text,
    within_text,
)
from farglide.present.say.text import FlightClock, plus_minutes, sentence
from farglide.sortie.words import chance_words, duration_words, km_text

NEXT = "What to believe next time"
PROMISED = "What was promised, and what happened"
HONEST = "How true the chances were"
CHANGE = "What would have bought most"
WIND = "doubt.deep_wind"
_EARLY_S = 60.0
"""A minute early is as told: a choice."""


def flight_clock(one: FlightReview) -> FlightClock:
    """Return the clock of a flight."""
    return FlightClock(launch_t_s=one.launch_t_s, zone=one.zone)


def ended_sentence(one: FlightReview) -> str:
    """Return how a flight went, in a sentence."""
    clock = flight_clock(one)
    end = next((each for each in reversed(one.occurred) if each.what == one.ended), None)
    where = ""
    if end is not None and end.amsl_m is not None:
        where = f" at {km_text(end.amsl_m)} km above sea level"
    when = "" if end is None else f", {plus_minutes(end.after_launch_s)}"
    how = {
        "released": f"let go{where}{when}", "burst": f"burst{where}{when}",
        "topped": "floated, and lost gas or hardly climbed",
        "still carried": "was still carried when it was heard last",
        "not seen": "was never seen",
    }[one.ended]  # fmt: skip
    came = f"; it came down on {one.landed_at}" if one.landed_at else ""
    return sentence(
        f"{one.name}, {clock.date()}, launched {clock.local(0.0)}: it {how}{came}".replace(
            "it let go", "it was let go"
        )
    )


def promises_part(one: FlightReview) -> Part:
    """Return promises side by side with how they came."""
    clock = flight_clock(one)
    rows = [
        (
            each.what,
            each.told,
            told_text(each.middle or None, each.unit, clock),
            range_text(each.half_low, each.half_high, each.unit, clock),
            range_text(each.most_low, each.most_high, each.unit, clock),
            came_text(each, clock),
            within_text(each),
        )
        for each in one.promises
    ]
    columns = (
        Column("", -26, prose=True), Column("told by", -19, left=True), Column("middle", 8),
        Column("5 in 10", 0), Column("9 in 10", 17), Column("came", 19), Column("within", 9),
    )  # fmt: skip
    note = "a range of 8 in 10 or a window where the row says so"
    return Part(title=PROMISED, note=note, table=Table(columns=columns, rows=rows), long=True)


def next_part(review: Review) -> Part:
    """Return thought, was, use next, of each number; what nothing tells of is told as kept."""
    told = [one for one in review.learned if one.key != WIND]
    rows = [
        (
            f"{one.what} ({one.gear})",
            spread_text(one.thought, one.thought_sd, one.unit),
            was_text(one),
            spread_text(one.use, one.use_sd, one.unit) if one.n_told else "as thought",
            flights_text(one),
        )
        for one in told
    ]
    columns = (
        Column("", -37, prose=True), Column("thought", 15), Column("was", 16),
        Column("use next", 15), Column("flights", 15),
    )  # fmt: skip
    why = [sentence(f"{one.what}: {one.why}") for one in told if one.why]
    return Part(
        title=NEXT, table=Table(columns=columns, rows=rows), after=why, paper=why, long=True
    )


def winds_part(one: FlightReview) -> Part:
    """Return how far the winds were off, by heights."""
    rows = [
        (
            row.where,
            f"{row.told_mps:.0f} m/s",
            f"{row.faster_mps:+.1f}".replace("-", "−"),
            f"{row.to_right_mps:+.1f}".replace("-", "−"),
            f"{row.sd_mps:.1f}",
            f"{row.told_sd_mps:.1f}",
        )
        for row in one.winds
    ]
    columns = (
        Column("", -16), Column("told", 10), Column("faster", 10), Column("to the right", 14),
        Column("measured within", 18), Column("told to be off by", 20),
    )  # fmt: skip
    after = list(_sizes(one))
    title = "The winds, m/s against those told"
    return Part(title=title, table=Table(columns=columns, rows=rows), after=after, paper=after)


def _sizes(one: FlightReview) -> Iterator[str]:
    if one.deep_ratio is not None and one.shallow_ratio is not None:
        yield (
            f"Over deep layers the winds were off {one.deep_ratio:.1f} times as far as told, in "
            f"shallow ones {one.shallow_ratio:.1f} times. One day says little of the next: the "
            "next flight file takes over a small part of it."
        )


def honesty_part(review: Review) -> Part:
    """Return how often told chances came true, few ones told as few."""
    told = review.honesty
    facts: list[Fact] = []
    if told.brier is None or told.brier_constant is None:
        facts.append("No chance was told of which anybody saw the outcome.")
    else:
        few = " Too few flights to confirm or refute anything." if told.is_few else ""
        facts.append(
            f"{told.n} chances of {_flights(told.n_flights)}. Brier score {told.brier:.3f}, the "
            f"mean square of chance less outcome: 0 is best. Always telling the share that came "
            f"true would have scored {told.brier_constant:.3f}.{few}"
        )
    rows = [
        (
            f"{row.from_ratio:.2f} to {row.to_ratio:.2f}",
            f"{row.told_ratio:.2f}",
            f"{row.came_ratio:.2f}",
            f"{row.low_ratio:.2f} to {row.high_ratio:.2f}",
            f"{row.n} of {_flights(row.n_flights)}",
            "too few" if row.is_few else "",
        )
        for row in told.rows
    ]
    columns = (
        Column("told", -16), Column("mean told", 11), Column("came true", 11),
        Column("19 in 20 within", 18), Column("chances", 20), Column("", 10),
    )  # fmt: skip
    table = Table(columns=columns, rows=rows)
    return Part(title=HONEST, facts=facts, paper=facts, table=table)


def _flights(n: int) -> str:
    return f"{n} flight{'s' * (n != 1)}"


def change_part(review: Review) -> Part:
    """Return the one change that buys most, in a sentence with a number."""
    return Part(title=CHANGE, facts=tuple(change_sentences(review)))


def change_sentences(review: Review) -> Iterator[str]:
    """Yield the one change that buys most, and the guess to settle first."""
    change = review.change
    if change is None:
        yield "No flight has a forecast with a field: nothing can be compared."
        return
    n = round(100.0 * (change.to_ratio - change.from_ratio))
    if not change.what or n < 1:
        yield sentence(
            f"nothing that was tried raises the chance of {change.field}, "
            f"{chance_words(change.from_ratio)}, by as much as 1 in 100"
        )
    else:
        advice = f"; {change.advice}" if change.advice else ""
        yield sentence(
            f"{change.what} raises the chance of {change.field} by {n} in 100, from "
            f"{100.0 * change.from_ratio:.0f} to {100.0 * change.to_ratio:.0f}{advice}"
        )
    if change.unknown:
        yield sentence(
            f"the guess that moves it most is {change.unknown}: "
            f"{100.0 * change.unknown_ratio:.0f} in 100 between its two sides"
        )


def choice_sentences(one: FlightReview) -> Iterator[Fact]:
    """Yield what the crew chose and when, by what was known then."""
    choice, clock = one.choice, flight_clock(one)
    if choice is None:
        return
    if choice.due_after_launch_s is not None:
        yield _due_sentence(choice, clock)
    if choice.chance_ratio is not None and choice.best_ratio is not None:
        lost = max(choice.best_ratio - choice.chance_ratio, 0.0)
        cost = "nothing of the chance" if lost < 0.005 else f"{100.0 * lost:.0f} in 100"
        yield (
            Strong(f"{choice.field}: {chance_words(choice.chance_ratio)} then."),
            f" By what was known then the choice cost {cost}.",
        )


def _due_sentence(choice: Choice, clock: FlightClock) -> str:
    """Return when the release was due, and when it was sent, or let go if nobody marked that."""
    due_s = choice.due_after_launch_s or 0.0
    due, at_s, how = clock.local(due_s), choice.sent_after_launch_s, "sent"
    if at_s is None:
        at_s, how = choice.released_after_launch_s, "let go"
    if at_s is None:
        return f"The release was due by {due}, as told first; none was sent."
    side = "before" if due_s >= at_s else "after"
    apart = f"{duration_words(abs(due_s - at_s))} {side} that" if round(due_s - at_s) else "then"
    told = f"The release was due by {due} and {how} at {clock.local(at_s)}, {apart}"
    from_s = choice.from_after_launch_s
    if from_s is not None and from_s - at_s >= _EARLY_S:
        early = f"{(from_s - at_s) / 60.0:.0f} min before the window opened"
        return f"{told}: too early, {early} ({clock.local(from_s)})."
    return f"{told}."
