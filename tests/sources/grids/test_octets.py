"""Octets: numbers as the manual of codes writes them."""

import pytest

from farglide.sources.grids.octets import Octets, ShortSectionError


def test_numbers_by_their_octets() -> None:
    octets = Octets(bytes([1, 2, 0x80, 3, 0xFF, 0xFF]))
    assert octets.count(1) == 1
    assert octets.count(1, 2) == 258
    assert octets.signed(3, 4) == -3
    assert octets.signed(1, 2) == 258
    assert octets.told(5, 6) is None
    assert octets.told(1, 2) == 258
    assert len(octets) == 6


def test_numbers_with_a_point() -> None:
    # 1.0 and -118.625 in both forms: IEEE 754 and, hexadecimal, C276A000 (a textbook example).
    octets = Octets(bytes.fromhex("3f800000c2ed4000" + "41100000c276a000"))
    assert octets.ieee(1, 2) == (1.0, -118.625)
    assert octets.ibm(9, 2) == (1.0, -118.625)


@pytest.mark.parametrize(("first", "last"), [(0, 1), (2, 1), (1, 4)])
def test_octets_that_are_not_there(first: int, last: int) -> None:
    with pytest.raises(ShortSectionError, match="a section of 3 octets ends before"):
        Octets(b"abc").between(first, last)
