"""Seconds and their text, across midnight, zones and changes of the clock."""

import math
from datetime import UTC, datetime, timedelta, timezone

import pytest

from farglide.earth.clock import (
    check_zone,
    clock_text,
    date_text,
    local_datetime,
    seconds_from_datetime,
    seconds_from_text,
)
from farglide.errors import InputError

LAUNCH_S = 1_800_697_200.0  # 2027-01-23 09:40 UTC: `date -u -d '2027-01-23 09:40' +%s`


@pytest.mark.parametrize(
    "text",
    [
        "2027-01-23T09:40:00Z",
        "2027-01-23T09:40Z",
        "2027-01-23T16:40:00+07:00",
        "2027-01-23T06:10:00-03:30",
        "2027-01-24T00:40:00.000+15:00",
    ],
)
def test_one_instant_in_many_spellings(text: str) -> None:
    assert seconds_from_text(text) == LAUNCH_S


def test_fractions_of_a_second() -> None:
    assert seconds_from_text("2027-01-23T09:40:00.25Z") == LAUNCH_S + 0.25


@pytest.mark.parametrize(
    "text",
    [
        "2027-01-23T09:40:00",  # no zone
        "2027-01-23",
        "2027-01-23 09:40:00Z",
        "20270123T094000Z",
        "2027-W03-6T09:40:00Z",
        "23.01.2027 09:40",
        "2027-01-23T09:40:00z",
        "2027-01-23T09:40:00Z ",
        "2027-01-23T09:40:00Z\n",
        "٢٠٢٧-01-23T09:40:00Z",  # digits of another script
        "",
    ],
)
def test_refuses_other_spellings(text: str) -> None:
    with pytest.raises(InputError, match=r"time is .*allowed: a date and time with its zone"):
        seconds_from_text(text)


@pytest.mark.parametrize("text", ["2027-02-29T09:40:00Z", "2027-01-23T24:40Z", "2027-13-01T00:00Z"])
def test_refuses_times_that_do_not_exist(text: str) -> None:
    with pytest.raises(InputError, match="There is no such time"):
        seconds_from_text(text)


def test_datetimes() -> None:
    assert seconds_from_datetime(datetime(2027, 1, 23, 9, 40, tzinfo=UTC)) == LAUNCH_S
    east = timezone(timedelta(hours=7))
    assert seconds_from_datetime(datetime(2027, 1, 23, 16, 40, tzinfo=east)) == LAUNCH_S
    with pytest.raises(InputError, match="Add the zone"):
        seconds_from_datetime(datetime(2027, 1, 23, 9, 40))  # noqa: DTZ001


def test_clock_does_not_run_ahead() -> None:
    assert clock_text(LAUNCH_S + 59.9, "UTC+07:00") == "16:40"


def test_across_midnight() -> None:
    late_s = seconds_from_text("2027-01-23T17:30:00Z")
    assert clock_text(late_s, "UTC+07:00") == "00:30"
    assert date_text(late_s, "UTC+07:00") == "Sunday 24 January 2027"
    assert date_text(late_s, "UTC") == "Saturday 23 January 2027"
    assert date_text(late_s, "Pacific/Honolulu") == "Saturday 23 January 2027"
    assert clock_text(late_s, "UTC-03:30") == "14:00"


def test_clocks_going_forward() -> None:
    # Directive 2000/84/EC: summer time starts on the last Sunday of March at 01:00 UTC.
    change_s = seconds_from_text("2027-03-28T01:00:00Z")
    assert clock_text(change_s - 60.0, "Europe/Vienna") == "01:59"
    assert clock_text(change_s, "Europe/Vienna") == "03:00"


def test_clocks_going_back() -> None:
    # The same directive: it ends on the last Sunday of October at 01:00 UTC. 02:30 comes twice.
    change_s = seconds_from_text("2026-10-25T01:00:00Z")
    assert clock_text(change_s - 1800.0, "Europe/Vienna") == "02:30"
    assert clock_text(change_s + 1800.0, "Europe/Vienna") == "02:30"
    for t_s in (change_s - 1800.0, change_s + 1800.0):
        assert seconds_from_datetime(local_datetime(t_s, "Europe/Vienna")) == t_s


@pytest.mark.parametrize("zone", ["UTC", "UTC+07:00", "UTC-03:30", "UTC+00:00", "Asia/Kathmandu"])
def test_accepts_zones(zone: str) -> None:
    check_zone(zone)
    assert seconds_from_datetime(local_datetime(LAUNCH_S, zone)) == LAUNCH_S


@pytest.mark.parametrize(
    "zone",
    [
        "",
        "Europe/Nowhere",
        "Europe",
        "../etc/passwd",
        "/usr/share/zoneinfo/UTC",
        "localtime",
        "UTC+7",
        "UTC+07:60",
        "UTC+07:00:00",
        "utc",
        "+07:00",
        "a\0b",
    ],
)
def test_refuses_zones(zone: str) -> None:
    with pytest.raises(InputError, match=r"zone is .*allowed: an IANA name such as Europe/Vienna"):
        check_zone(zone)


def test_refuses_offsets_no_land_has() -> None:
    check_zone("UTC+14:00")
    with pytest.raises(InputError, match="zone is 'UTC\\+14:30'; allowed: UTC-14:00 to UTC"):
        check_zone("UTC+14:30")


@pytest.mark.parametrize("t_s", [-1.0, 1.8e12, math.nan, math.inf])
def test_refuses_times_outside(t_s: float) -> None:
    with pytest.raises(InputError, match=r"t_s is .* s; allowed: 0 to 4102444800 s"):
        clock_text(t_s, "UTC")
