"""The headers of the fields in a message of GRIB edition 2."""

from collections.abc import Iterator
from typing import Final

from farglide.sources.files import utc_s
from farglide.sources.grids.elements import AMERICAN_CENTRE, ELEMENTS_2, Element
from farglide.sources.grids.field import Field, LevelKind
from farglide.sources.grids.layout import Layout, layout_2
from farglide.sources.grids.octets import Octets

_UNIT_S: Final = {
    0: 60.0, 1: 3600.0, 2: 86_400.0, 10: 10_800.0, 11: 21_600.0, 12: 43_200.0, 13: 1.0,
}  # fmt: skip
"""Seconds of a unit of forecast time. Source: WMO-No. 306, volume I.2, code table 4.4."""
_KINDS: Final[dict[int, LevelKind]] = {1: "surface", 100: "pressure", 105: "model", 118: "model"}
"""Kinds of levels. Source: WMO-No. 306, volume I.2, code table 4.5."""
_PACKINGS: Final = {
    0: "simple", 2: "complex", 3: "complex with differences", 4: "IEEE numbers", 40: "JPEG 2000",
    41: "PNG", 42: "CCSDS", 50: "spectral",
}  # fmt: skip
"""Data templates. Source: WMO-No. 306, volume I.2, code table 5.0."""
_AT_A_MOMENT: Final = (0, 1, 2)
"""Product templates of fields at a moment: a forecast, a member, something derived from members."""
_MEANS: Final = (0, 1)
"""Derived fields that are a mean of all members. Source: code table 4.7."""


def fields_2(message: bytes) -> list[Field]:
    """Return a header for each field of the message, of an empty quantity where it is of no use.

    Sections 2 to 7, 3 to 7 or 4 to 7 may stand again for another field, as of u and v in one.
    Source: WMO-No. 306, volume I.2, FM 92 GRIB edition 2, sections 0 to 7.
    """
    discipline = message[6]
    identity, grid, product = Octets(b""), Octets(b""), Octets(b"")
    packing, fields = "", list[Field]()
    for section in _sections(message):
        match section.count(5):
            case 1:
                identity = section
            case 3:
                grid = section
            case 4:
                product = section
            case 5:
                number = section.count(10, 11)
                packing = _PACKINGS.get(number, f"number 5.{number}")
            case 7:
                found = _field(discipline, identity, product)
                layout = layout_2(grid) if found else None
                fields.append(_placed(found, layout, packing, len(fields)))
    return fields


def _sections(message: bytes) -> Iterator[Octets]:
    place = 16
    while place + 5 <= len(message) - 4:
        length = int.from_bytes(message[place : place + 4], "big")
        if length < 5 or place + length > len(message) - 4:
            raise ValueError(f"a section of {length} octets at octet {place + 1}")
        yield Octets(message[place : place + length])
        place += length


def _placed(found: dict[str, object], layout: Layout | None, packing: str, place: int) -> Field:
    return Field(layout=layout, packing=packing, place=place, **found)  # type: ignore[arg-type]


def _field(discipline: int, identity: Octets, product: Octets) -> dict[str, object]:
    """Return what sections 1 and 4 tell of a field; nothing where it is of no use."""
    template = product.count(8, 9)
    key = (discipline, product.count(10), product.count(11))
    element = ELEMENTS_2.get(key, Element(""))
    if template not in _AT_A_MOMENT or not element.quantity:
        return {}
    kind = _KINDS.get(product.count(23))
    unit_s = _UNIT_S.get(product.count(18))
    if kind is None or unit_s is None or product.count(29) != 255:
        return {}
    if template == 2 and product.count(35) not in _MEANS:
        return {}
    run_s = utc_s(
        identity.count(13, 14), identity.count(15), identity.count(16),
        3600.0 * identity.count(17) + 60.0 * identity.count(18) + identity.count(19),
    )  # fmt: skip
    centre = identity.count(6, 7)
    return {
        "quantity": element.quantity,
        "factor": element.factor,
        "kind": kind,
        "level": _level(product),
        "valid_s": run_s + unit_s * product.signed(19, 22),
        "run_s": run_s,
        "member": _member(template, centre, product),
        "centre": centre,
        "coefficients": _coefficients(product),
    }


def _level(product: Octets) -> float:
    """Return the value of the first surface: a scale factor and a scaled value."""
    value = product.told(25, 28)
    scale = product.told(24, 24)
    if value is None or scale is None:
        return 0.0
    # The ratio of two whole numbers: a level of 0.4 hPa written in two ways is one number.
    exponent = product.signed(24)
    return value / 10**exponent if exponent >= 0 else float(value * 10**-exponent)


def _member(template: int, centre: int, product: Octets) -> str:
    """Return the name of the member that a field is of.

    Source: WMO-No. 306, volume I.2, template 4.1 and code table 4.6. The American centre names the
    files of its members gec00, gep01 and so on.
    """
    if template == 0:
        return "control"
    if template == 2:
        return "mean"
    kind, number = product.count(35), product.count(36)
    if centre == AMERICAN_CENTRE and kind in (0, 1, 3):
        return f"gep{number:02d}" if kind == 3 else f"gec{number:02d}"
    return f"negative {number}" if kind == 2 else str(number)


def _coefficients(product: Octets) -> tuple[float, ...]:
    """Return the list of vertical coordinate parameters, which ends section 4."""
    n = product.count(6, 7)
    if n == 0 or 4 * n + 9 > len(product):
        return ()
    return product.ieee(len(product) - 4 * n + 1, n)
