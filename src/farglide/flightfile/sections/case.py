"""Case of a transmitter: the keys of a link that tell how warm it gets.

Stand-ins from memory: aluminium and boards 900 J/(kg K); paint, plastic sleeve and solder mask
radiate 0.8 to 0.95 of black, bare metal 0.05 to 0.2.
"""

from collections.abc import Iterator
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entry
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, stand_in
from farglide.sortie.gear import HousingSpec
from farglide.sortie.known import Tag
from farglide.units import CELSIUS_ZERO_K

_CASE_HEAT_JPKGK: Final = 900.0
_EMISSIVITY: Final = 0.8
_WRITE_CASE: Final = "Write heat_w or efficiency_ratio, and case_area_cm2 and case_g."

CASE_ROWS: Final = (
    Quantity("heat", unit.POWER, (0.0, 300.0), "the transmitter turns into heat"),
    Quantity("efficiency", unit.RATIO, (0.01, 0.95), "or of what it draws, the share it sends is"),
    Quantity("case_area", unit.AREA, (1e-5, 0.5), "the outer area of its case is"),
    Quantity("case", unit.MASS, (5e-4, 5.0), "transmitter and case weigh"),
    Quantity("case_heat", unit.SPECIFIC_HEAT, (300.0, 3000.0), "the specific heat of the case is",
             tag=Tag.TYPICAL),
    Quantity("case_flow", unit.RATIO, (0.0, 1.0),
             "over the case passes, of the airspeed, a share of",
             settle="a vane or a drop of water beside it, at the window of a car"),
    Quantity("case_emissivity", unit.RATIO, (0.02, 1.0),
             "of what black would radiate, the case radiates a share of", tag=Tag.TYPICAL),
    Quantity("case_sun", unit.POWER, (0.0, 50.0), "while the sun is up, the case takes up"),
    Quantity("limit", unit.CELSIUS, (30.0, 200.0), "it is trusted up to"),
)  # fmt: skip


def fill_case(link: Entry) -> None:
    """Put the stand-ins of a case in their places, where a link states one."""
    if _has_case(link):
        stand_in(link.numbers, "case_heat_jpkgk", _CASE_HEAT_JPKGK, Tag.TYPICAL)
        stand_in(link.numbers, "case_emissivity_ratio", _EMISSIVITY, Tag.TYPICAL)
        stand_in(link.numbers, "case_flow_ratio", 0.0, Tag.GUESS)


def transmitter_case(link: Entry) -> HousingSpec | None:
    """Return the case of a transmitter found without problems, None where it states none."""
    if not _has_case(link):
        return None
    heat_w, limit_c = link.value("heat_w"), link.stated("limit_celsius")
    if link.given("efficiency_ratio"):
        heat_w = link.value("power_w") * (1.0 / link.value("efficiency_ratio") - 1.0)
    return link.spec(
        HousingSpec,
        heat_w=heat_w,
        area_m2=link.value("case_area_m2"),
        mass_kg=link.value("case_kg"),
        specific_heat_jpkgk=link.value("case_heat_jpkgk"),
        flow_ratio=link.value("case_flow_ratio"),
        emissivity_ratio=link.value("case_emissivity_ratio"),
        sun_w=link.stated("case_sun_w") or 0.0,
        limit_k=None if limit_c is None else limit_c + CELSIUS_ZERO_K,
    )


def case_problems(links: list[Entry]) -> Iterator[Problem]:
    """Yield what in cases is missing or said twice."""
    for one in links:
        if not _has_case(one):
            continue
        given = [key for key in ("heat_w", "efficiency_ratio") if one.given(key)]
        if len(given) > 1:
            what = "states heat and efficiency: two answers to one question."
            yield one.problem("", what, "Keep one of them.")
        missing = [] if given else ["heat_w"]
        missing += [key for key in ("case_area_m2", "case_kg") if not one.given(key)]
        if missing:
            what = f"states its heat without {' and '.join(missing)}."
            yield one.problem("", what, _WRITE_CASE)


def _has_case(link: Entry) -> bool:
    return any(link.given(row.key) for row in CASE_ROWS)
