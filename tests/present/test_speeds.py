"""Speeds and flown flights in words: dashes where there is nothing to fly, no bare percentages."""

from dataclasses import replace
from typing import Any

from farglide.present.answer import answer_lines
from farglide.present.speeds import flown_words, speed_cells
from farglide.present.text import FlightClock


def test_a_row_where_the_flattest_way_circles_has_dashes(samples: Any) -> None:
    row = samples.sample().speeds[0]
    assert speed_cells(row) == ("10", "14", "20", "31", "–", "–", "–")
    flat = replace(row, flat_eas_mps=10.3, flat_ground_mps=21.4, flat_sink_mps=4.2)
    assert speed_cells(flat)[4:] == ("21", "4", "10")


def test_flown_flights_are_told_in_odds(samples: Any) -> None:
    outlook = samples.sample()
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    (words,) = flown_words(outlook, clock)
    assert "19 in 20 over Harrowend at 12 to 18 km" in words
    assert "%" not in words
    assert flown_words(replace(outlook, flown=None), clock) == []


def test_the_answer_holds_the_speeds(samples: Any) -> None:
    lines = answer_lines(samples.sample())
    (head,) = [i for i, line in enumerate(lines) if line.startswith("What to fly")]
    assert lines[head + 3].split() == ["10", "14", "20", "31", "–", "–", "–"]
    assert all(len(line) <= 100 for line in lines)
