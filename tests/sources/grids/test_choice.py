"""Choices: members, times and levels that are complete; what is left out is named."""

from itertools import product
from typing import Any

import pytest

from farglide.sources.grids.choice import Choice, chosen
from farglide.sources.grids.field import Field
from farglide.sources.grids.wanted import Wanted
from farglide.sources.levels.levels import Report

NAMES = ("gph_m", "t_k", "u_mps", "v_mps")
HOUR = 3600.0


def fields(
    members: tuple[str, ...] = ("control",),
    hours: tuple[float, ...] = (0.0, 6.0),
    levels: tuple[float, ...] = (50_000.0, 10_000.0, 1000.0),
    run_s: float = 0.0,
) -> list[Field]:
    return [
        Field(quantity=name, level=level, valid_s=HOUR * hour, run_s=run_s, member=member)
        for member, hour, level, name in product(members, hours, levels, NAMES)
    ]


def without(some: list[Field], **at: Any) -> list[Field]:
    """Return the fields but those that are so in every respect."""
    return [one for one in some if not all(getattr(one, name) == x for name, x in at.items())]


def choose(some: list[Field], wanted: Wanted | None = None) -> tuple[Choice, list[str]]:
    report = Report(path="a.grib", noun="field", origin="")
    found = chosen(some, "pressure", wanted or Wanted(), report)
    assert found is not None, report.notes
    return found, report.notes


def test_all_is_taken_where_nothing_lacks() -> None:
    found, notes = choose(fields(("gep02", "gec00", "gep01")))
    assert found.members == ("gec00", "gep01", "gep02")
    assert found.times_s == (0.0, 6 * HOUR)
    assert found.levels == (50_000.0, 10_000.0, 1000.0)
    assert len(found.fields) == 3 * 2 * 3 * 4
    assert notes == []


def test_members_are_in_the_order_of_their_numbers() -> None:
    found, _ = choose(fields(tuple(str(k) for k in range(12, 0, -1))))
    assert found.members == tuple(str(k) for k in range(1, 13))


@pytest.mark.parametrize(("name", "word"), [("u_mps", "u wind"), ("gph_m", "height")])
def test_a_level_that_lacks_a_field_at_one_time_is_left_out_at_all(name: str, word: str) -> None:
    some = without(fields(), quantity=name, level=10_000.0, valid_s=6 * HOUR)
    found, notes = choose(some)
    assert found.levels == (50_000.0, 1000.0)
    assert notes == [f"level 100 hPa left out: no {word} at 1970-01-01 06:00 UTC"]
    assert all(one.level != 10_000.0 for one in found.fields)


def test_a_time_without_a_complete_level_is_left_out() -> None:
    found, notes = choose(without(fields(), quantity="v_mps", valid_s=0.0))
    assert found.times_s == (6 * HOUR,)
    told = "time 1970-01-01 00:00 UTC left out: no level is complete (no v wind)"
    assert notes == [told]


def test_a_member_that_ends_early_is_left_out() -> None:
    some = without(fields(("gec00", "gep01", "gep02")), member="gep01", valid_s=6 * HOUR)
    found, notes = choose(some)
    assert found.members == ("gec00", "gep02")
    assert notes == ["member gep01 left out: no complete level at 1970-01-01 06:00 UTC"]


def test_times_that_most_members_lack_are_left_out() -> None:
    names = ("gec00", "gep01", "gep02")
    some = fields(names) + fields(("gec00",), hours=(12.0,))
    found, notes = choose(some)
    assert found.times_s == (0.0, 6 * HOUR)
    assert found.members == names
    assert notes == ["time 1970-01-01 12:00 UTC left out: no level is complete"]


def test_a_field_that_one_member_alone_lacks_is_told_as_missing() -> None:
    names = ("gec00", "gep01", "gep02")
    some = without(fields(names), member="gep01", level=1000.0, quantity="t_k", valid_s=0.0)
    found, notes = choose(some)
    assert found.levels == (50_000.0, 10_000.0, 1000.0)
    assert notes == ["1 field of one member alone missing: told as unknown"]
    two = [one for one in some if one.member != "gep02"]
    assert choose(two)[0].levels == (50_000.0, 10_000.0)


def test_the_newest_run_is_taken_at_each_time() -> None:
    some = fields(hours=(0.0, 6.0, 12.0)) + fields(hours=(6.0, 12.0), run_s=6 * HOUR)
    found, notes = choose(some)
    assert [{one.run_s for one in found.fields if one.valid_s == t} for t in found.times_s] == [
        {0.0}, {6 * HOUR}, {6 * HOUR},
    ]  # fmt: skip
    assert found.run_s == 0.0
    assert notes[0] == "24 fields of older runs for the same time left out"
    assert "times of 2 runs" in notes[1]
    assert "count from the oldest" in notes[1]


@pytest.mark.parametrize(
    ("span", "hours"),
    [((7.0, 13.0), (6.0, 12.0, 18.0)), ((6.0, 12.0), (6.0, 12.0)), ((13.0, 14.0), (12.0, 18.0)),
     ((30.0, 40.0), (24.0,)), ((-9.0, -5.0), (0.0,))],
)  # fmt: skip
def test_times_around_those_asked_for_are_taken(
    span: tuple[float, float], hours: tuple[float, ...]
) -> None:
    wanted = Wanted(times_s=(HOUR * span[0], HOUR * span[1]))
    found, notes = choose(fields(hours=(0.0, 6.0, 12.0, 18.0, 24.0)), wanted)
    assert found.times_s == tuple(HOUR * hour for hour in hours)
    ends = [note for note in notes if note.startswith(("begins", "ends"))]
    assert bool(ends) == (span[0] < 0.0 or span[1] > 24.0)


def test_levels_above_the_least_pressure_are_not_taken() -> None:
    found, notes = choose(fields(), Wanted(least_p_pa=5000.0))
    assert found.levels == (50_000.0, 10_000.0)
    assert notes == []


def test_nothing_complete_is_no_choice() -> None:
    report = Report(path="a.grib", noun="field", origin="")
    some = without(fields(), quantity="u_mps")
    assert chosen(some, "pressure", Wanted(), report) is None
    assert chosen(fields(), "model", Wanted(), report) is None
    assert any("no u wind" in note for note in report.notes)
