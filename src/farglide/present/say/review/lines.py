"""Lines of a review: the summary for a terminal, and the lines for the next flight file."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from math import exp
from typing import Final

from farglide.outlook.review import FlightReview, Learned, Review
from farglide.present.lines import blocks, fact_lines, part_lines, wrapped
from farglide.present.say.review.parts import (
    WIND,
    change_part,
    choice_sentences,
    ended_sentence,
    flight_clock,
    honesty_part,
    next_part,
    promises_part,
    winds_part,
)

_REHEARSED: Final = (
    "# A REHEARSAL stands behind this. Its balloon, glider and air were made up: they tell nothing",
    "# of yours. Nothing here is for your flight file; a review of real flights alone is.",
    "#",
)


def review_lines(review: Review) -> list[str]:
    """Return a whole review for a terminal: each flight, then what all of them teach."""
    told = [line for one in review.flights for line in (*_flight_lines(one), "")]
    notes = [line for note in review.notes for line in wrapped(note, 0, 2)]
    return blocks(
        told[:-1],
        part_lines(next_part(review)),
        part_lines(honesty_part(review)),
        part_lines(change_part(review)),
        notes,
    )


def _flight_lines(one: FlightReview) -> list[str]:
    head = wrapped(ended_sentence(one), 0, 2)
    notes = fact_lines(one.notes)
    return blocks(
        [*head, *fact_lines([f"by {one.log}; {one.ended_why}"]), *notes],
        part_lines(promises_part(one)),
        part_lines(winds_part(one)),
        fact_lines(list(choice_sentences(one))),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    section: str
    name: str  # of one of several links or packs
    text: str


def next_file(review: Review) -> str:
    """Return what was learnt as lines of a flight file: value, spread, and where from.

    It reads as TOML. What no flight moves stands there as a remark: the file keeps its own. So does
    all of it where a flight was rehearsed: its gear was made up.
    """
    newest = review.flights[-1]
    lines = [*_moved_lines(review, newest), *_kept_lines(review)]
    if any(one.is_rehearsed for one in review.flights):
        shut = (one if one.startswith("#") or not one else f"# {one}" for one in lines)
        lines = [*_REHEARSED, *shut]
    return "\n".join(lines) + "\n"


def _moved_lines(review: Review, newest: FlightReview) -> list[str]:
    lines = [
        "# For the next flight file: numbers that flights moved, and where they come from.",
        "# Put each line in place of the one with its key, in the section that stands over it.",
        f"# Newest flight: {_plain(newest.name)}, {flight_clock(newest).date()}.",
    ]
    every = list(_toml_lines(review))
    for section, name in dict.fromkeys((one.section, one.name) for one in every):
        lines += ["", section, *([f"name = {_quoted(name)}"] if name else [])]
        lines += [one.text for one in every if (one.section, one.name) == (section, name)]
    return lines


def _kept_lines(review: Review) -> list[str]:
    kept = [one for one in review.learned if not _is_moved(one) and one.key != WIND]
    lines = [""] if kept else []
    lines += [f"# {_plain(f'{one.key} of {one.gear}: {one.why}')}" for one in kept]
    lines += [
        f"# winds: of how far they were off {exp(one.use):.2f} times the deep doubt is taken over "
        f"(give or take a factor of {exp(one.use_sd):.2f}); state deep_wind_mps only after several "
        "flights."
        for one in review.learned
        if one.key == WIND and one.n_told
    ]
    return lines


def _is_moved(one: Learned) -> bool:
    return one.n_told > 0 and one.thought_sd > 0.0


def _toml_lines(review: Review) -> Iterator[_Line]:
    """Yield the lines of every number that a flight moved, those of the newest gear alone."""
    newest = {one.key: one for one in review.learned}
    for one in newest.values():
        if _is_moved(one) and one.key != WIND:
            yield _line(one.key, one.use, _origin(one))
            yield _line(one.spread_key, one.spread, "")
    if review.n_followed:
        text = f"# add to its record: n_flights + {review.n_followed}, n_early_bursts + "
        yield _Line(section="[balloon]", name="", text=f"{text}{review.n_early_bursts}")


def _line(key: str, value: float, remark: str) -> _Line:
    place, _, last = key.rpartition(".")
    section, _, name = place.removesuffix("]").partition("[")
    head = f"[[{section}]]" if name else f"[{section}]"
    return _Line(section=head, name=name, text=f"{last} = {_digits(value)}{remark}")


def _origin(one: Learned) -> str:
    """Return the remark that tells where a number comes from."""
    sided = f", {one.n_at_least} of them one-sided" if one.n_at_least else ""
    flights = f"{one.n_told} flight{'s' * (one.n_told != 1)}{sided}"
    thought = f"{_digits(one.thought)} ± {_digits(one.thought_sd)}"
    return f"   # {_plain(one.gear)}: thought {thought}, {flights}"


def _digits(value: float) -> str:
    return f"{value:.4g}" if value else "0"


def _quoted(name: str) -> str:
    """Return a name as TOML writes it: JSON has the same escapes."""
    return json.dumps(name)


def _plain(words: str) -> str:
    """Return words for a remark: on one line, nothing in them that TOML refuses there."""
    return "".join(c if c.isprintable() else " " for c in words)
