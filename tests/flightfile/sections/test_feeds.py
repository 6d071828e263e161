"""The feeds section: what is stated is taken, what a format needs or cannot use is told."""

from pathlib import Path

import pytest

from farglide.flightfile.sections.feeds import FEEDS, feed_of, feed_problems
from farglide.sortie.feeds import FeedSpec, where_of

from ..conftest import Entered, Told

PLAIN = '[[feeds]]\nname = "tracker"\nfrom = "serial:/dev/ttyUSB0"\n'


def test_left_out_it_is_a_tracker_of_the_glider(entered: Entered) -> None:
    assert feed_of(entered(FEEDS, PLAIN), Path("x")) == FeedSpec(
        name="tracker", where=where_of("serial:/dev/ttyUSB0?baud=9600"), format="nmea"
    )


def test_what_is_stated_is_taken(entered: Entered) -> None:
    text = (
        '[[feeds]]\nname = "box"\nfrom = "file:old log.txt?follow"\nformat = "csv"\nof = "car"\n'
        'height = "pressure"\ncolumns = ["1=time_unix_s", "2=lat_deg", "3=lon_deg", "4=height_m"]\n'
        "error_m = 30\nstops_above_ft = 60000\nsensor_ends_hpa = 300\n"
    )
    found = feed_of(entered(FEEDS, text), Path("flights"))
    assert found.where.path == str(Path("flights") / "old log.txt")
    assert found.where.follows
    assert (found.format, found.of, found.height) == ("csv", "car", "pressure")
    assert found.columns[3] == "4=height_m"
    assert (found.error_m, found.sensor_ends_pa) == (30.0, 30_000.0)
    assert found.stops_above_m == pytest.approx(18_288.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('[[feeds]]\nname = "a"', "[[feeds]] 1 from: is missing. Allowed: serial:"),
        ('[[feeds]]\nfrom = "radio"', "[[feeds]] 1 from: cannot be: from is 'radio'; allowed"),
        ('[[feeds]]\nfrom = "serial:x?baud=9"', "[[feeds]] 1 from: cannot be: baud is 9 bits/s"),
        (PLAIN + 'has_checksum = "no"', '[[feeds]] 1 has_checksum: is "no", not true or false.'),
        (PLAIN + "has_checksum = 0", "[[feeds]] 1 has_checksum: is 0, not true or false."),
        (PLAIN + 'format = "morse"', "[[feeds]] 1 format"),
        (PLAIN + 'of = "kite"', "[[feeds]] 1 of"),
        (PLAIN + 'height = "agl"', "[[feeds]] 1 height"),
        (PLAIN + "sensor_ends_hpa = 3000", "[[feeds]] 1 sensor_ends_hpa"),
    ],
)
def test_what_cannot_be_is_refused(text: str, words: str, told: Told) -> None:
    (problem,) = told(FEEDS, text)
    assert problem.startswith(words)


@pytest.mark.parametrize(
    ("text", "key", "what"),
    [
        ('format = "packet"', "sender", "is missing."),
        ('sender = "N0CALL"', "sender", 'is of no use: format is "nmea".'),
        ('format = "csv"', "columns", "is missing."),
        ('format = "json"', "columns", "is missing."),
        ('columns = ["1=lat_deg"]', "columns", 'are of no use: format is "nmea".'),
        ('format = "gpsd"\nhas_checksum = false', "has_checksum",
         'is of no use: format is "gpsd".'),
        ('format = "csv"\ncolumns = ["1=lat_deg"]', "columns",
         "cannot be: columns hold no latitude with a longitude."),
        ('format = "json"\ncolumns = ["1=lat_deg"]', "columns",
         "cannot be: columns is '1=lat_deg'"),
        ('format = "csv"\ncolumns = ["1=lat_deg", "2=lon_deg", "3=height_m"]', "height",
         "is missing: nothing else tells where it counts from."),
    ],
)  # fmt: skip
def test_what_a_format_needs_or_cannot_use_is_told(
    text: str, key: str, what: str, entered: Entered
) -> None:
    (problem,) = feed_problems([entered(FEEDS, PLAIN + text)])
    assert problem.where.endswith(f" {key}")
    assert problem.what.startswith(what)


def test_the_link_that_it_comes_by_is_one_of_the_flight(entered: Entered) -> None:
    stated = entered(FEEDS, PLAIN + 'link = "beacon"')
    assert feed_of(stated, Path("x")).link == "beacon"
    assert not list(feed_problems([stated], ["picture", "beacon"]))
    (problem,) = feed_problems([stated], ["picture", "command"])
    assert problem.what == 'is "beacon", which is no link of this flight.'
    assert problem.remedy == 'Links of this flight: "picture", "command".'
    (problem,) = feed_problems([stated])
    assert problem.remedy == "Links of this flight: none is stated."
    car = entered(FEEDS, PLAIN + 'of = "car"\nlink = "beacon"')
    (problem,) = feed_problems([car], ["beacon"])
    assert problem.what == 'is of no use: of is "car".'


def test_whole_feeds_have_no_problem(entered: Entered) -> None:
    whole = (
        'format = "packet"\nsender = "N0CALL-11"',
        'format = "csv"\nheight = "pressure"\ncolumns = ["1=lat_deg", "2=lon_deg", "3=height_m"]',
        'format = "json"\ncolumns = ["rssi=strength_dbm"]',
        "has_checksum = false",
    )
    assert not list(feed_problems([entered(FEEDS, PLAIN + text) for text in whole]))
