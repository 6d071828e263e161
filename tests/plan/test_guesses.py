"""Guesses in words: in the order of the file, each once, and what is only usual apart."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.plan.guesses import guess_words, key_words, usual_words
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie


def with_tags(sortie: Sortie, **tags: Tag) -> Sortie:
    return replace(sortie, tags={key.replace("__", "."): one for key, one in tags.items()})


def test_guesses_and_usual_values_stand_apart(sortie: Sortie) -> None:
    told = with_tags(
        sortie,
        balloon__drag_factor=Tag.GUESS,
        balloon__drag_table=Tag.TYPICAL,
        balloon__burst_diameter_m=Tag.TYPICAL,
        glider__mass_kg=Tag.MEASURED,
        glider__area_m2=Tag.GUESS,
    )
    assert guess_words(told) == ("balloon drag", "area of the glider")
    # the drag is a guess already; what has no words of its own is not worth one as a usual value
    assert usual_words(told) == ("bursting diameter",)


def test_a_drive_that_nobody_stated_is_a_guess(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    assert not any("drive" in one for one in guess_words(sortie))
    stands = tuple(replace(one, drive_s=None) for one in sortie.stands)
    told = guess_words(replace(sortie, stands=stands))
    assert told[-2:] == ("drive to Wether Knap", "drive to Stile Gap")


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("packs[all].cold_ratio", "what the cold leaves of pack all"),
        ("fields[Far meadow].amsl_m", "height of Far meadow"),
        ("links[picture].offset_db", "budget of the picture link"),
        ("links[picture].power_w", "power of picture"),
        ("crew.reaction_s", "reaction time"),
    ],
)
def test_a_key_is_told_in_words(key: str, words: str) -> None:
    assert key_words(key) == words
