"""Elements: which numbers of the code tables stand for the quantities of use here."""

from typing import Final, NamedTuple

from farglide.constants import STANDARD_GRAVITY_MPS2


class Element(NamedTuple):
    """A quantity of ours, and the factor from the unit of the table to its own."""

    quantity: str
    factor: float = 1.0


_HEIGHT_OF_GEOPOTENTIAL: Final = Element("gph_m", 1.0 / STANDARD_GRAVITY_MPS2)
_HUMIDITY_PERCENT: Final = Element("rh_ratio", 0.01)

ELEMENTS_2: Final[dict[tuple[int, int, int], Element]] = {
    (0, 0, 0): Element("t_k"), (0, 1, 0): Element("q_ratio"), (0, 1, 1): _HUMIDITY_PERCENT,
    (0, 2, 2): Element("u_mps"), (0, 2, 3): Element("v_mps"), (0, 3, 0): Element("p_pa"),
    (0, 3, 4): _HEIGHT_OF_GEOPOTENTIAL, (0, 3, 5): Element("gph_m"),
    (0, 3, 25): Element("log_p_pa"),
}  # fmt: skip
"""By discipline, category and number. Source: WMO-No. 306, volume I.2, code table 4.2."""

ELEMENTS_1: Final[dict[int, Element]] = {
    1: Element("p_pa"), 6: _HEIGHT_OF_GEOPOTENTIAL, 7: Element("gph_m"), 11: Element("t_k"),
    33: Element("u_mps"), 34: Element("v_mps"), 51: Element("q_ratio"), 52: _HUMIDITY_PERCENT,
}  # fmt: skip
"""By number, versions 1 to 3 of the table. Source: WMO-No. 306, volume I.2, GRIB 1 code table 2."""

ELEMENTS_128: Final[dict[int, Element]] = {
    129: _HEIGHT_OF_GEOPOTENTIAL, 130: Element("t_k"), 131: Element("u_mps"), 132: Element("v_mps"),
    133: Element("q_ratio"), 134: Element("p_pa"), 152: Element("log_p_pa"), 156: Element("gph_m"),
    157: _HUMIDITY_PERCENT,
}  # fmt: skip
"""By number, table 128 of the European Centre for Medium-Range Weather Forecasts.

Source: from memory; held against another decoder on the open files that the tests read.
"""
EUROPEAN_CENTRE: Final = 98
"""Source: WMO-No. 306, volume I.2, common code table C-1."""
AMERICAN_CENTRE: Final = 7
"""The National Centers for Environmental Prediction; the same table."""


def element_1(centre: int, version: int, number: int) -> Element:
    """Return the element of a GRIB 1 field; of an empty quantity where it is of no use."""
    if version in (1, 2, 3) and number < 128:
        return ELEMENTS_1.get(number, Element(""))
    if centre == EUROPEAN_CENTRE and version == 128:
        return ELEMENTS_128.get(number, Element(""))
    return Element("")
