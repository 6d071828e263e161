"""The header of the field in a message of GRIB edition 1."""

from typing import Final

from farglide.sources.files import utc_s
from farglide.sources.grids.elements import AMERICAN_CENTRE, EUROPEAN_CENTRE, element_1
from farglide.sources.grids.field import Field, LevelKind
from farglide.sources.grids.layout import OtherLayout, layout_1
from farglide.sources.grids.octets import Octets

_UNIT_S: Final = {
    0: 60.0, 1: 3600.0, 2: 86_400.0, 10: 10_800.0, 11: 21_600.0, 12: 43_200.0, 254: 1.0,
}  # fmt: skip
"""Seconds of a unit of time. Source: WMO-No. 306, volume I.2, GRIB 1 code table 4."""
_KINDS: Final[dict[int, tuple[LevelKind, float]]] = {
    1: ("surface", 0.0), 100: ("pressure", 100.0), 109: ("model", 1.0), 210: ("pressure", 1.0),
}  # fmt: skip
"""Kinds of levels, and the factor of their value. Source: GRIB 1 code table 3.

210, a pressure in pascals, is the European Centre's own, from memory.
"""
_WITH_MEMBERS: Final = (1, 36)
"""Local definitions whose octets 50 and 51 are the number and count of members.

The first from memory, the second as in an open file of ten members that the tests read.
"""
_HARMONIC, _SECOND_ORDER = 0x80, 0x40
"""Bits of the flags of section 4. Source: WMO-No. 306, volume I.2, GRIB 1 code table 11."""
_SPREAD: Final = 18
"""Type of a field of standard deviations of members; the European Centre's, from memory."""


def fields_1(message: bytes) -> list[Field]:
    """Return the header of the one field of the message, of no quantity where it is of no use.

    Source: WMO-No. 306, volume I.2, FM 92-IX Ext. GRIB edition 1, sections 1 and 2.
    """
    product = _section(message, 8)
    if not product.count(8) & 0x80:
        return [Field(layout=OtherLayout(name="one of a catalogue, which the file does not hold"))]
    grid = _section(message, 8 + len(product))
    centre = product.count(5)
    element = element_1(centre, product.count(4), product.count(9))
    kind = _KINDS.get(product.count(10))
    lead_s = _lead_s(product)
    if not element.quantity or kind is None or lead_s is None or _is_spread(product, centre):
        return [Field()]
    run_s = utc_s(
        100 * (product.count(25) - 1) + product.count(13), product.count(14), product.count(15),
        3600.0 * product.count(16) + 60.0 * product.count(17),
    )  # fmt: skip
    found = Field(
        quantity=element.quantity,
        factor=element.factor,
        kind=kind[0],
        level=kind[1] * product.count(11, 12),
        valid_s=run_s + lead_s,
        run_s=run_s,
        member=_member(product, centre),
        centre=centre,
        layout=layout_1(grid),
        coefficients=_coefficients(grid) if kind[0] == "model" else (),
        packing=_packing(message, 8 + len(product) + len(grid), bool(product.count(8) & 0x40)),
    )
    return [found]


def _section(message: bytes, place: int) -> Octets:
    length = int.from_bytes(message[place : place + 3], "big")
    if length < 8 or place + length > len(message):
        raise ValueError(f"a section of {length} octets at octet {place + 1}")
    return Octets(message[place : place + length])


def _packing(message: bytes, place: int, has_bitmap: bool) -> str:
    """Return how the values of section 4 are written, which a bit map may precede."""
    place += len(_section(message, place)) if has_bitmap else 0
    flags = _section(message, place).count(4)
    if flags & _HARMONIC:
        return "spectral"
    return "of second order" if flags & _SECOND_ORDER else "simple"


def _lead_s(product: Octets) -> float | None:
    """Return how long after the run a field is valid; None where it is of a stretch of time.

    Source: WMO-No. 306, volume I.2, GRIB 1 code table 5: 0 and 1 a moment, 10 one in two octets.
    """
    unit_s = _UNIT_S.get(product.count(18))
    if unit_s is None:
        return None
    match product.count(21):
        case 0:
            return unit_s * product.count(19)
        case 1:
            return 0.0
        case 10:
            return unit_s * product.count(19, 20)
    return None


def _has_local_part(product: Octets, centre: int) -> bool:
    """Tell whether a local definition of the European Centre with a member's number follows."""
    known = len(product) >= 51 and product.count(41) in _WITH_MEMBERS
    return centre == EUROPEAN_CENTRE and known


def _is_spread(product: Octets, centre: int) -> bool:
    return _has_local_part(product, centre) and product.count(43) == _SPREAD


def _member(product: Octets, centre: int) -> str:
    """Return the name of the member that a field is of.

    Source: from memory, since the octets from 41 on are each centre's own: the European Centre has
    the number in octet 50 and how many there are in 51; the American one has the kind in 42 (1 the
    control, 2 and 3 the negative and positive of a pair) and the number in 43.
    """
    if _has_local_part(product, centre):
        return str(product.count(50)) if product.count(50) or product.count(51) else "control"
    if centre == AMERICAN_CENTRE and len(product) >= 43 and product.count(41) == 1:
        kind, number = product.count(42), product.count(43)
        words = {2: f"negative {number}", 3: f"positive {number}"}
        return words.get(kind, "control")
    return "control"


def _coefficients(grid: Octets) -> tuple[float, ...]:
    """Return the vertical coordinate parameters: how many stands in octet 4, where in octet 5."""
    n, first = grid.count(4), grid.count(5)
    if n == 0 or first in (0, 255):
        return ()
    return grid.ibm(first, n)
