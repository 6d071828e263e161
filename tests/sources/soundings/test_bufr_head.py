"""Heads of BUFR reports: read off the first bits, they say what decoding the whole says."""

import math
from pathlib import Path

import pytest

from farglide.sources.soundings import bufr_head, bufr_temp
from farglide.sources.soundings.bufr_head import ReportPlace, n_reports, number, spot, spot_of
from farglide.sources.soundings.bufr_messages import RawMessage, raw_messages, subsets

FILES = ("prague_20071120.bufr", "giles_20160403.bufr", "temp_20081208.bufr")


def decoded(message: RawMessage, path: Path) -> ReportPlace:
    (pairs,) = subsets(message, path)
    return spot(bufr_temp._split(pairs)[0])


def some(authorities: Path) -> list[tuple[RawMessage, Path]]:
    """Return the messages of three files, and each fortieth of a network of 420."""
    paths = [authorities / name for name in FILES]
    network = authorities / "temp_network_20081208.bufr"
    found = [(message, path) for path in paths for message in raw_messages(path)]
    return found + [(message, network) for message in list(raw_messages(network))[::40]]


def test_a_head_says_what_the_whole_report_says(authorities: Path) -> None:
    messages = some(authorities)
    assert len(messages) == 10 + 11
    for message, path in messages:
        told = spot_of(message)
        assert told == decoded(message, path)
        assert n_reports(message) == 1


def changed(message: RawMessage, place: int, value: int) -> RawMessage:
    data = bytearray(message.data)
    data[place] = value
    return RawMessage(start=0, data=bytes(data))


def test_what_only_decoding_tells_is_left_to_it(authorities: Path) -> None:
    message = next(raw_messages(authorities / "prague_20071120.bufr"))
    third = 8 + int.from_bytes(message.data[8:11], "big")  # where section 3 begins: no section 2
    assert spot_of(message) is not None
    assert spot_of(changed(message, third + 5, 7)) is None  # seven reports
    assert n_reports(changed(message, third + 5, 7)) == 7
    assert spot_of(changed(message, third + 6, 0xC0)) is None  # compressed
    assert spot_of(changed(message, 7, 2)) is None  # an edition laid out in another way
    assert n_reports(changed(message, 7, 2)) == 1
    for first in (0x40, 0x80, 0x3F):  # a repetition, an operator, an element nobody knows
        assert spot_of(changed(message, third + 7, first)) is None
    assert spot_of(RawMessage(start=0, data=message.data[:40])) is None


@pytest.mark.parametrize("length", range(8, 60))
def test_a_message_cut_anywhere_tells_nothing_or_the_same(authorities: Path, length: int) -> None:
    message = next(raw_messages(authorities / "giles_20160403.bufr"))
    whole = spot_of(message)
    assert spot_of(RawMessage(start=0, data=message.data[:length])) in (None, whole)


def test_values_that_are_none_are_not_known() -> None:
    assert math.isnan(number({"year": None}, "year"))
    assert math.isnan(number({}, "year"))
    assert number({"year": 2007}, "year") == 2007.0
    lat_deg, lon_deg, t_s = spot({"lat_deg": 91.0, "lon_deg": 14.0, "year": 1e30, "month": 1})
    assert math.isnan(lat_deg)
    assert math.isnan(lon_deg)
    assert math.isnan(t_s)
    assert bufr_head.HEAD[4001] == "year"
