"""Lines to entries: short words, whole words, names by their beginning, and what is refused."""

from dataclasses import replace

import pytest

from farglide.errors import AnswerError
from farglide.track.typed.entries import (
    THEODOLITE_SD_DEG,
    AtStand,
    Bearing,
    Entry,
    FieldRefused,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    NeckLift,
    RoadClosed,
    Seen,
    Side,
    Sighting,
    Undo,
)
from farglide.track.typed.known import Known
from farglide.track.typed.parse import MARKS, entry_of


@pytest.mark.parametrize(
    ("line", "entry"),
    [
        ("q3", Grade(grade=3)), ("Q 0", Grade(grade=0)), ("pic none", Grade(grade=0)),
        ("a 245 32", Bearing(azimuth_deg=245.0, elevation_deg=32.0, stand="Stile Gap")),
        ("a245", Bearing(azimuth_deg=245.0, stand="Stile Gap")),
        ("a wether 10", Bearing(azimuth_deg=10.0, stand="Wether Knap")),
        ("a knap 2 o'clock 2,5 fists",
         Bearing(azimuth_deg=150.0, elevation_deg=25.0, stand="Wether Knap")),
        ("t 245,3 32.1", Bearing(azimuth_deg=245.3, elevation_deg=32.1, stand="Stile Gap",
                                 sd_deg=THEODOLITE_SD_DEG)),
        ("theodolite wether 10", Bearing(azimuth_deg=10.0, stand="Wether Knap",
                                         sd_deg=THEODOLITE_SD_DEG)),
        ("at knap", AtStand(stand="Wether Knap")), ("stand stile", AtStand(stand="Stile Gap")),
        ("sun 11", Sighting(what=Seen.SUN, clock_h=11.0)),
        ("s 10:30", Sighting(what=Seen.SUN, clock_h=10.5)),
        ("wood l", Sighting(what=Seen.WOOD, side=Side.LEFT)),
        ("water right", Sighting(what=Seen.WATER, side=Side.RIGHT)),
        ("n 1,6", NeckLift(kg=1.6)), ("neck 1600 g", NeckLift(kg=1.6)),
        ("late 20", LaunchLate(late_s=1200.0)), ("late -10 min", LaunchLate(late_s=-600.0)),
        ("moved 46.6 S 108.1 E", LaunchMoved(lat_deg=-46.6, lon_deg=108.1)),
        ("road stile - knap +25",
         RoadClosed(start="Stile Gap", end="Wether Knap", longer_s=1500.0)),
        ("closed stile-tansy", RoadClosed(start="Stile Gap", end="Tansy Lea", longer_s=None)),
        ("refused tansy", FieldRefused(field="Tansy Lea")),
        ("for tansy", FlownFor(field="Tansy Lea")),
        ("no tansi lea", FieldRefused(field="Tansy Lea")),
        ("u", Undo()), ("undo burst", Undo(kind=MarkKind.BURST)),
    ],
)  # fmt: skip
def test_a_line_is_taken_for_its_entry(line: str, entry: Entry, known: Known) -> None:
    assert entry_of(line, known) == entry


@pytest.mark.parametrize("word", list(MARKS))
def test_every_mark_has_its_word(word: str, known: Known) -> None:
    assert entry_of(f" {word.upper()} ", known) == Mark(kind=MARKS[word])


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("", "That line is empty. Type digits off the picture"),
        ("burst now", "'burst now' is no mark"),
        ("r tansy", "Type one behind the other: r, then: for tansy"),
        ("xyzzy", "'xyzzy' is no entry. Type digits"),
        ("u xyz", "'xyz' takes nothing back. Type u alone"),
        ("q 12", r"A picture is 5 \(clear\) to 0"),
        ("wood", "Left or right"),
        ("neck much", "Type the weighed lift"),
        ("late soon", "Type minutes"),
        ("road stile", "Type both ends and the detour"),
        ("road stile-moon", "There is no place on the way 'moon'. There are: Harrowend, Stile"),
        ("refused", "Which field[?] There are: Harrowend strip, Tansy Lea"),
        ("a", "Type azimuth and elevation"),
        ("at", "Which stand[?] There are: Stile Gap, Wether Knap"),
        ("a moon 12", "There is no stand 'moon'. There are: Stile Gap, Wether Knap"),
        ("a 2 h", "Where the car's nose points is not known"),
        ("sun 13", "Type a clock position"),
    ],
)
def test_what_says_nothing_is_asked_again(line: str, message: str, known: Known) -> None:
    with pytest.raises(AnswerError, match=message):
        entry_of(line, known)


def test_an_end_of_a_road_that_fits_several_names_is_asked_back(known: Known) -> None:
    known = replace(known, places=("Stile Gap", "Stile Gate", "Wether Knap", "Hay-Knap"))
    for line in ("road stile-wether +25", "closed wether - stile ga", "road stile gav-wether"):
        with pytest.raises(AnswerError, match="any place on the way of these: Stile Gap, Stile Ga"):
            entry_of(line, known)
    way = RoadClosed(start="Stile Gate", end="Hay-Knap", longer_s=None)
    assert entry_of("closed stile gate-hay-knap", known) == way
    assert entry_of("road closed stile gate - hay", known) == way


def test_a_stroke_that_parts_a_way_in_two_manners_is_asked_back(known: Known) -> None:
    known = replace(known, places=("Hay", "Hay-Knap", "Knap-Lea", "Lea"))
    with pytest.raises(AnswerError, match=r"may be Hay to Knap-Lea or Hay-Knap to Lea\. Type more"):
        entry_of("closed hay-knap-lea", known)


def test_a_place_that_is_field_and_stand_is_one_end(known: Known) -> None:
    known = replace(known, places=("Harrowend strip", "Stile Gap", "Harrowend strip"))
    way = RoadClosed(start="Harrowend strip", end="Stile Gap", longer_s=None)
    assert entry_of("closed har-stile", known) == way


def test_a_place_may_be_called_as_the_word_closed_begins(known: Known) -> None:
    known = replace(known, places=("Closedown", "Stile Gap"))
    way = RoadClosed(start="Closedown", end="Stile Gap", longer_s=60.0)
    assert entry_of("road closedown-stile +1", known) == way
