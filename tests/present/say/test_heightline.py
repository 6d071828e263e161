"""Height line: every mark on a row of its own height, whatever the room."""

import re
from dataclasses import replace

import pytest
from tests.live.advice import ADVICE, RELEASE

from farglide.outlook.advice import Advice
from farglide.present.say.heightline import WIDTH, height_lines
from farglide.present.say.text import FlightClock

CLOCK = FlightClock(launch_t_s=1_800_000_000.0, zone="UTC")


def at(amsl_m: float) -> Advice:
    return replace(ADVICE, place=replace(ADVICE.place, amsl_m=amsl_m))


@pytest.mark.parametrize("n_rows", [5, 9, 12, 15, 30])
@pytest.mark.parametrize("amsl_m", [240.0, 9_900.0, 25_000.0, 31_000.0])
def test_all_marks_are_there(n_rows: int, amsl_m: float) -> None:
    lines = height_lines(at(amsl_m), CLOCK, n_rows)
    assert len(lines) == n_rows
    assert all(len(line) <= WIDTH for line in lines)
    assert sum("=>" in line for line in lines) == 1
    assert sum("x half" in line for line in lines) == 1
    assert any("#" in line for line in lines)
    here = next(line for line in lines if "=>" in line)
    assert here.strip().startswith(f"{amsl_m / 1000.0:.1f}")


def test_the_window_covers_its_heights_and_tells_its_times() -> None:
    lines = height_lines(at(19_540.0), CLOCK, 15)
    heights = [int(m[1]) for line in lines if (m := re.match(r" *(\d+) +#", line))]
    assert heights == [27, 26, 25, 24, 23]
    assert next(line for line in lines if line.startswith("   27")).endswith("to 09:18")
    assert next(line for line in lines if line.startswith("   23")).endswith("from 09:08")


def test_heights_fall_from_row_to_row() -> None:
    for n_rows in (6, 15, 30):
        lines = [one for one in height_lines(at(1000.0), CLOCK, n_rows) if one]
        told = [float(line.split()[0]) for line in lines]
        assert told == sorted(told, reverse=True)


def test_without_a_window_or_a_burst_there_is_where_it_is() -> None:
    calm = replace(at(19_540.0), release=None, burst=replace(
        ADVICE.burst, amsl_m=replace(ADVICE.burst.amsl_m, p50=float("nan"))))  # fmt: skip
    lines = height_lines(calm, CLOCK, 9)
    assert "#" not in "".join(lines)
    assert sum("=>" in line for line in lines) == 1


def test_a_window_of_one_row_tells_its_end() -> None:
    narrow = replace(at(19_540.0), release=replace(RELEASE, from_amsl_m=27_100.0))
    marked = [line for line in height_lines(narrow, CLOCK, 12) if "#" in line]
    assert len(marked) == 1
    assert marked[0].endswith("to 09:18")
