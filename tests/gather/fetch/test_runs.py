"""Runs of a forecast: which are there, reach far enough, and which hours of them are wanted."""

import pytest

from farglide.earth.clock import seconds_from_text
from farglide.errors import InputError
from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.runs import (
    candidate_runs,
    run_text,
    run_values,
    steps_of,
    whole_by,
)
from farglide.gather.fetch.wanted import Stretch

GFS = read_addresses()[0]
GEFS = next(one for one in read_addresses() if one.key == "gefs_whole")


def at(text: str) -> float:
    return seconds_from_text(text)


def one(begin: str, end: str) -> list[Stretch]:
    return [Stretch(at(begin), at(end))]


def test_the_newest_that_appeared_comes_first() -> None:
    flight = one("2027-01-23T08:40Z", "2027-01-23T14:00Z")
    found = candidate_runs(GFS, at("2027-01-22T21:40Z"), flight)
    # 18 UTC appears from 21:30 on
    assert [run_text(run) for run in found] == [
        "2027-01-22 18 UTC", "2027-01-22 12 UTC", "2027-01-22 06 UTC", "2027-01-22 00 UTC",
    ]  # fmt: skip
    earlier = candidate_runs(GFS, at("2027-01-22T21:29Z"), flight)
    assert run_text(earlier[0]) == "2027-01-22 12 UTC"
    assert not whole_by(GFS, found[0], at("2027-01-22T22:59Z"))
    assert whole_by(GFS, found[0], at("2027-01-22T23:00Z"))


def test_a_run_begins_before_the_first_wanted_hour() -> None:
    flight = one("2027-01-10T08:40Z", "2027-01-10T14:00Z")
    found = candidate_runs(GFS, at("2027-01-23T08:00Z"), flight)
    assert run_text(found[0]) == "2027-01-10 06 UTC"


def test_a_flight_too_far_off_is_refused_with_how_long_to_wait() -> None:
    flight = one("2027-02-10T08:40Z", "2027-02-10T14:00Z")
    with pytest.raises(InputError) as caught:
        candidate_runs(GFS, at("2027-01-22T21:40Z"), flight)
    told = str(caught.value)
    assert "384 h after the run of 2027-01-22 18 UTC" in told
    assert "Ask again 3 days later" in told  # 2027-02-07 18 UTC is the last hour, 68 h before
    near = one("2027-02-07T12:00Z", "2027-02-07T20:00Z")
    with pytest.raises(InputError, match="Ask again 2 h later"):
        candidate_runs(GFS, at("2027-01-22T21:40Z"), near)


def test_daylight_that_is_over_does_not_bring_an_older_run() -> None:
    flight = one("2027-01-23T08:40Z", "2027-01-23T14:00Z")
    days = [*flight, *one("2027-01-22T20:00Z", "2027-01-23T13:00Z")]
    now_s = at("2027-01-23T07:00Z")
    assert candidate_runs(GFS, now_s, days)[0] == at("2027-01-23T00:00Z")


def test_only_runs_that_reach_are_asked() -> None:
    edge = one("2027-02-07T02:00Z", "2027-02-07T12:00Z")
    found = candidate_runs(GFS, at("2027-01-22T21:40Z"), edge)
    assert [run_text(run) for run in found] == ["2027-01-22 18 UTC", "2027-01-22 12 UTC"]


def test_hours_hold_the_neighbours_of_each_moment() -> None:
    run = at("2027-01-23T00:00Z")
    assert steps_of(GFS, run, one("2027-01-23T08:40Z", "2027-01-23T11:01Z")) == (8, 9, 10, 11, 12)
    assert steps_of(GFS, run, one("2027-01-23T09:00Z", "2027-01-23T10:00Z")) == (9, 10)
    assert steps_of(GEFS, run, one("2027-01-23T08:40Z", "2027-01-23T11:01Z")) == (6, 9, 12)
    # from 120 h on every three hours
    late = one("2027-01-28T00:30Z", "2027-01-28T04:00Z")
    assert steps_of(GFS, run, late) == (120, 123, 126)
    early = one("2027-01-22T09:00Z", "2027-01-22T20:00Z")  # over before the run
    partly = one("2027-01-22T20:00Z", "2027-01-23T01:30Z")
    assert steps_of(GFS, run, [*late, *early, *partly]) == (0, 1, 2, 120, 123, 126)
    both = [*one("2027-01-23T09:00Z", "2027-01-23T10:00Z"), *late]
    assert steps_of(GFS, run, both) == (9, 10, 120, 123, 126)


def test_an_address_is_told_run_and_hour() -> None:
    values = run_values(at("2027-01-23T18:00Z"), 384, "gep07")
    assert values == {"date": "20270123", "hour": "18", "step": "384", "member": "gep07"}
