"""Barriers in words: from which height on, from which back, and until when there is a choice."""

from collections.abc import Iterator
from math import isinf, isnan
from typing import Final

from farglide.outlook.barriers import BarrierWay, Needed
from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import duration_words
from farglide.sortie.words import chance_words, km_text

COLUMNS: Final = (
    Column("barrier"), Column("", left=True), Column("km beyond the edge"),
    Column("fly on from, km"), Column("turn back from, km"),
)  # fmt: skip
_WHERE: Final = ("at its edge", "midway", "at the far edge")


def barriers_part(outlook: Outlook) -> Part:
    """Return what is needed at each barrier between the planned release and the chosen field."""
    ways = outlook.barriers
    if not ways:
        return Part(title="Barriers on the way home")
    chance = chance_words(ways[0].open_ratio)
    scope = f"heights are above sea level, for a chance of {chance}, by height alone"
    brackets = f"For a chance of {chance}; in brackets if nothing is off; by height alone."
    return Part(
        title="Barriers on the way home",
        note=" ".join([*map(decision_words, ways), brackets]),
        facts=[*(words for way in ways for words in _way_words(way)), scope],
        table=Table(columns=COLUMNS, rows=[row for way in ways for row in barrier_rows(way)]),
    )


def _way_words(way: BarrierWay) -> list[str]:
    on = _heights_words([one.ahead for one in way.stations])
    words = f"{way.barrier}, {way.kind}: fly on to {way.ahead} from {on}"
    if way.behind:
        back = [one.behind for one in way.stations if one.behind]
        words += f"; turn back to {way.behind} from {_heights_words(back)}"
    decision = decision_words(way).removesuffix(".")
    return [words, decision[0].lower() + decision[1:]]


def barrier_rows(way: BarrierWay) -> Iterator[tuple[str, ...]]:
    """Yield the rows of one way's table, their cells under `COLUMNS`."""
    for at, one in zip(_WHERE, way.stations, strict=True):
        back = f"{needed_text(one.behind)} {way.behind}" if one.behind else ""
        on = f"{needed_text(one.ahead)} {way.ahead}"
        yield way.barrier, at, km_text(one.beyond_edge_m), on, back


def _heights_words(needed: list[Needed]) -> str:
    """Return the heights needed at the edge first met, midway and at the far edge."""
    told = ["no height" if isnan(one.amsl_m) else f"{km_text(one.amsl_m)} km" for one in needed]
    return ", ".join(f"{one} {at}" for one, at in zip(told, _WHERE, strict=True))


def needed_text(needed: Needed) -> str:
    """Return the least height in kilometres, at the chance, and in brackets if nothing is off."""
    if isnan(needed.amsl_m):
        return "never"
    return f"{km_text(needed.amsl_m)} ({km_text(needed.error_free_amsl_m)})"


def decision_words(way: BarrierWay) -> str:
    """Return when to cross, for how long one can turn back, and what is odd about it."""
    commit = way.stations[0].ahead
    if isnan(commit.amsl_m):
        return f"From no height is {way.ahead} open from this edge: do not plan to cross here."
    words = f"Cross it from {km_text(commit.amsl_m)} km up"
    if commit.shut_amsl_m:
        words += f", but it is shut again {_stretch_words(commit.shut_amsl_m)}"
    if not way.behind:
        return f"{words}. No field lies on this side: there is nothing to turn back to."
    if way.decision_s < 1.0:
        return f"{words}. {way.behind} is shut there already: there is no turning back."
    lasts = duration_words(way.decision_s)
    words += f"; from there {way.behind} stays open for {lasts} after the edge, not longer."
    back = way.stations[0].behind
    if back is not None and back.shut_amsl_m:
        words += f" {way.behind} is shut again {_stretch_words(back.shut_amsl_m)} at the edge."
    return words


def _stretch_words(stretches: tuple[tuple[float, float], ...]) -> str:
    """Return stretches of height in kilometres.

    >>> _stretch_words(((8000.0, 20_400.0), (25_000.0, float("inf"))))
    'from 8.0 to 20.4 km and above 25.0 km'
    """
    parts = [
        f"above {km_text(low)} km" if isinf(high) else f"from {km_text(low)} to {km_text(high)} km"
        for low, high in stretches
    ]
    return " and ".join(parts)
