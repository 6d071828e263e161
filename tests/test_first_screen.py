"""Many plans, read as a new user would: one screen, eight answers, no phrase that stops one."""

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

import pytest

from farglide.air.sounding import Sounding
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.outlook import Outlook
from farglide.plan.plan import hear, plan
from farglide.present.lines import WIDTH
from farglide.present.say.links.hearing import hearing_lines, what_if_lines
from farglide.present.say.screen import LINES, screen_lines
from farglide.sortie.gear import TrainSpec
from farglide.sortie.grain import Grain
from farglide.sortie.known import Tag
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

from .reading import answer_lines

ASKED: Final = Grain(n_draws=60)
LONG: Final = "{} beside the old quarry road near the upper reservoir dam"
STOPS: Final = (
    "about even", "in hand", "heard from", "dearest", "at most late", "not open", "a whole balloon",
    "outlasts", "last release", "links home", "grows likely", "clock leads", "whole flight",
    "last word is", "up-drift", "down-drift", "best on average", "costs more than it", "begun so",
    "no less than", "not un", "held on",
)  # fmt: skip
"""Phrases that stopped readers who had never seen the tool."""
SCALES: Final = (
    r"\b\d+/\d+\b",
    r"\bhalf\b",
    r"\b\d+ %(?! (?:better|worse))",
    r"\bodds\b",
    r"\beven\b",
)
"""Other ways to tell a chance than so many in ten; a glide ratio may be per cent better."""
FISTS: Final = re.compile(r"half (?:past|a fist)|and a half fists|half a beam|the chance even so")

Maker = Callable[[Sortie, Sounding], tuple[Sortie, Sounding]]


def windier(times: float) -> Maker:
    def make(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
        return sortie, replace(winds, u_mps=winds.u_mps * times, v_mps=winds.v_mps * times)

    return make


def with_fields(n: int) -> Maker:
    def make(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
        more = (
            replace(one, name=f"{one.name} east", lon_deg=one.lon_deg + 0.1)
            for one in sortie.fields[1:3]
        )
        return replace(sortie, fields=(*sortie.fields, *more)[:n]), winds

    return make


def shut(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
    return with_fields(1)(*windier(2.6)(sortie, winds))


def without_links(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
    return replace(sortie, links=(), stands=()), winds


def with_long_names(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
    fields = tuple(replace(one, name=LONG.format(one.name)[:60]) for one in sortie.fields)
    stands = tuple(replace(one, name=LONG.format(one.name)[:60]) for one in sortie.stands)
    launch = replace(sortie.launch, name=fields[0].name)
    return replace(sortie, fields=fields, stands=stands, launch=launch), winds


def under_a_parachute(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
    return replace(sortie, train=TrainSpec(canopy_m=1.2)), winds


def guessed_and_not_cleared(sortie: Sortie, winds: Sounding) -> tuple[Sortie, Sounding]:
    rows = (("airspace", "asked"), ("aircraft", "missing"), ("land", "missing"))
    tags = dict.fromkeys(sortie.tags, Tag.GUESS)
    drop = replace(sortie.drop, n_releases=0, n_pullouts=0)
    helium = replace(sortie.balloon, gas="helium")
    told = replace(sortie, permissions=rows, tags=tags, drop=drop, balloon=helium)
    return told, replace(winds, lat_deg=float("nan"), t_s=float("nan"))


FLIGHTS: Final[dict[str, Maker]] = {
    "demo": windier(1.0), "calm": windier(0.02), "windy": windier(1.6), "shut": shut,
    "one field": with_fields(1), "six fields": with_fields(6), "no fields": with_fields(0),
    "no links": without_links, "long names": with_long_names, "parachute": under_a_parachute,
    "guesses": guessed_and_not_cleared,
}  # fmt: skip


@pytest.fixture(scope="module")
def outlooks(demo_flight: FlightFile, demo_sounding: Sounding) -> dict[str, Outlook]:
    flat = replace(demo_flight.sortie, terrain=None)
    made = {name: make(flat, demo_sounding) for name, make in FLIGHTS.items()}
    return {name: plan(sortie, Pack(sounding=air), ASKED) for name, (sortie, air) in made.items()}


def stops(text: str) -> Iterator[str]:
    """Yield the phrases of a text that stop a reader, and chances on another scale."""
    yield from (phrase for phrase in STOPS if phrase in text)
    rest = FISTS.sub("", text)
    yield from (found.group() for one in SCALES for found in re.finditer(one, rest))


@pytest.mark.parametrize("name", FLIGHTS)
def test_the_first_screen_has_room(outlooks: dict[str, Outlook], name: str) -> None:
    lines = screen_lines(outlooks[name])
    assert len(lines) <= LINES <= 37
    assert max(map(len, lines)) <= WIDTH
    # a reader of 80 columns still has it on a screen and a bit
    narrow = screen_lines(outlooks[name], 80)
    assert max(map(len, narrow)) <= 80
    assert len(narrow) <= 50


@pytest.mark.parametrize("name", FLIGHTS)
def test_it_answers_the_eight_questions(outlooks: dict[str, Outlook], name: str) -> None:
    outlook, lines = outlooks[name], screen_lines(outlooks[name])
    text = " ".join(" ".join(lines).split())
    labels = [line[:14].strip() for line in lines if line[:14].strip()]
    assert f"from {outlook.launch_name} at 16:40" in text  # where from
    release = outlook.release
    if release is not None:
        assert f" {release.field} is " in text  # which field
        assert "release at " in text or "release between " in text  # when
        assert "By when" in labels
        assert "No picture" in labels  # what if blind
        assert re.search(r"if the release and the pull-out work(?:, and|;)", text)
    else:
        assert "No release is worth it at any height" in text or "no field is prepared" in text
    told = {"Permissions", "Ground wind", "Winds", "Fill", "Burst", "Not steered", "Guessed"}
    assert told - {"Permissions"} <= set(labels)
    assert ("Permissions" in labels) or not outlook.cleared  # what is missing
    assert "Test first" in labels  # what to test first
    # no line is said twice
    sentences = [one for one in re.split(r"(?<=\.) ", text) if len(one) > 40]
    assert len(sentences) == len(set(sentences))


@pytest.mark.parametrize("name", FLIGHTS)
def test_no_phrase_stops_a_reader(outlooks: dict[str, Outlook], name: str) -> None:
    text = " ".join(" ".join(answer_lines(outlooks[name])).split())
    assert list(stops(text)) == []
    gas = {"guesses": "ydrogen"}.get(name, "elium")
    assert gas not in text  # only the gas that is used
    assert "safe" not in text.lower()


def test_a_shut_day_says_its_best_chance_in_the_headline(outlooks: dict[str, Outlook]) -> None:
    outlook = outlooks["shut"]
    assert outlook.release is None
    assert re.search(r"(?:The best chance is|Every field has a chance of) ", outlook.verdict)


def test_what_is_missing_asked_and_guessed_is_told(outlooks: dict[str, Outlook]) -> None:
    lines = screen_lines(outlooks["guesses"])
    text = " ".join(" ".join(lines).split())
    assert lines[0] == "NOT CLEARED. Missing: glider after the release, land."
    assert "Asked for, no answer yet: balloon in the airspace." in text
    assert re.search(r"Guessed .* and \d+ more\.", text)
    assert "how often they do, no test of both says" in text
    assert "They are of unknown age, and their place is not stated." in text


def test_links_and_what_ifs_stop_no_reader_either(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    heard = hear(demo_flight, Pack(sounding=demo_sounding), ASKED)
    for lines in (hearing_lines(heard), what_if_lines(heard)):
        assert list(stops(" ".join(" ".join(lines).split()))) == []
        assert max(map(len, lines)) <= WIDTH


def test_phrases_that_stop_are_found() -> None:
    assert list(stops("home about even, 7/10 or half, 14 % at best")) == [
        "about even", "7/10", "half", "14 %", "even",
    ]  # fmt: skip
    assert list(stops("half past two, a glide ratio 10 % better")) == []
