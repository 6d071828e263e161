"""A source: which hours and fields it has."""

from dataclasses import replace

from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.source import Steps

GFS = read_addresses()[0]


def test_the_hours_are_those_that_the_producer_publishes() -> None:
    # NCEP: hourly to 120 h, then every three to 384 h: 121 + 88 of them.
    assert len(GFS.hours) == 209
    assert GFS.hours[:3] == (0, 1, 2)
    assert GFS.hours[119:123] == (119, 120, 123, 126)
    assert GFS.hours[-1] == 384


def test_a_stretch_ends_where_the_next_begins() -> None:
    odd = replace(GFS, steps_h=(Steps(2, 5), Steps(6, 16)))
    assert odd.hours == (0, 2, 4, 10, 16)


def test_humidity_is_taken_where_it_is_there() -> None:
    assert GFS.also_pairs((500.0, 10.0)) == (("RH", 500.0), ("RH", 10.0))
    assert ("RH", 500.0) not in GFS.pairs((500.0,))


def test_fields_that_are_not_published_are_not_asked_for() -> None:
    gefs = next(one for one in read_addresses() if one.key == "gefs_whole")
    pairs = gefs.pairs((500.0, 400.0, 300.0))
    assert pairs == (
        ("HGT", 500.0), ("TMP", 500.0), ("UGRD", 500.0), ("VGRD", 500.0),
        ("UGRD", 400.0), ("VGRD", 400.0), ("HGT", 300.0), ("UGRD", 300.0), ("VGRD", 300.0),
    )  # fmt: skip
