"""Octets: a section of a GRIB message, its octets numbered as its manual numbers them."""

import struct
from dataclasses import dataclass


class ShortSectionError(ValueError):
    """A section that ends before an octet that is asked for."""


@dataclass(frozen=True, slots=True)
class Octets:
    """The octets of a section, the first of them number 1.

    Source: WMO-No. 306, volume I.2, regulations 92.6.2 and 92.1.5 of FM 92 (numbers of the
    regulations from memory): whole numbers are big-endian, a set first bit of a signed one is a
    minus sign.

    >>> octets = Octets(bytes([0, 0, 7, 0x80, 5]))
    >>> octets.count(1, 3), octets.signed(4, 5)
    (7, -5)
    """

    data: bytes

    def __len__(self) -> int:
        return len(self.data)

    def between(self, first: int, last: int) -> bytes:
        """Return the octets from the first to the last of these numbers."""
        if not 1 <= first <= last <= len(self.data):
            raise ShortSectionError(f"a section of {len(self.data)} octets ends before {last}")
        return self.data[first - 1 : last]

    def count(self, first: int, last: int | None = None) -> int:
        """Return the number without a sign that stands in these octets."""
        return int.from_bytes(self.between(first, last or first), "big")

    def signed(self, first: int, last: int | None = None) -> int:
        """Return the number whose first bit is its sign."""
        octets = self.between(first, last or first)
        magnitude = int.from_bytes(octets, "big") & ((1 << (8 * len(octets) - 1)) - 1)
        return -magnitude if octets[0] & 0x80 else magnitude

    def told(self, first: int, last: int) -> int | None:
        """Return the number in these octets, or None where all bits are set: not told."""
        octets = self.between(first, last)
        return None if set(octets) == {0xFF} else int.from_bytes(octets, "big")

    def ieee(self, first: int, n: int) -> tuple[float, ...]:
        """Return `n` numbers of 32 bits in the form of IEEE 754, as GRIB 2 writes them."""
        return tuple(
            float(x) for x in struct.unpack(f">{n}f", self.between(first, first + 4 * n - 1))
        )

    def ibm(self, first: int, n: int) -> tuple[float, ...]:
        """Return `n` numbers of 32 bits with a hexadecimal exponent, as GRIB 1 writes them.

        Source: WMO-No. 306, volume I.2, regulation 92.6.4 (number from memory): a sign, seven bits
        of exponent of 16 with 64 added, and 24 bits of fraction.

        >>> Octets(bytes.fromhex("4276a000")).ibm(1, 1)
        (118.625,)
        """
        return tuple(self._ibm(first + 4 * k) for k in range(n))

    def _ibm(self, first: int) -> float:
        bits = self.count(first, first + 3)
        sign = -1.0 if bits >> 31 else 1.0
        return sign * float(bits & 0xFFFFFF) * 16.0 ** ((bits >> 24 & 0x7F) - 70)
