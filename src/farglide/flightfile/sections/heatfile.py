"""Heat of a flight file: boxes of packs and cases of transmitters, and what does not fit together.

Stand-ins from memory: cells 1000 J/(kg K), aluminium and boards 900 J/(kg K); paint, plastic sleeve
and solder mask radiate 0.8 to 0.95 of black, bare metal 0.05 to 0.2; lithium cells at moderate load
turn a few per cent of it into heat.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Sheet
from farglide.flightfile.reading.keys import filled
from farglide.flightfile.standins import Numbers
from farglide.sortie.spec import BoxSpec, CaseSpec, Tag
from farglide.units import CELSIUS_ZERO_K

_CELLS_HEAT_JPKGK: Final = 1000.0
_CASE_HEAT_JPKGK: Final = 900.0
_EMISSIVITY: Final = 0.8
_OWN_HEAT: Final = 0.05
_TABLE_SPREAD: Final = 0.05
_BOX: Final = ("cells_kg", "cells_heat_jpkgk", "insulation_wpk", "own_heat_ratio", "start_celsius")
_CASE: Final = (
    "heat_w", "efficiency_ratio", "case_area_m2", "case_kg", "case_heat_jpkgk", "case_flow_ratio",
    "case_emissivity_ratio", "case_sun_w", "limit_celsius",
)  # fmt: skip
_WRITE_BOX: Final = (
    "Write cells_g, insulation_wpk and cold_table = [[-20, 0.6], [20, 1.0]], or cold_ratio alone."
)
_WRITE_CASE: Final = "Write heat_w or efficiency_ratio, and case_area_cm2 and case_g."


def fill_heat(sheet: Sheet) -> None:
    """Put the stand-ins of boxes and cases in their places; a box takes the place of one share."""
    for pack in sheet.packs:
        if _has_box(pack):
            _put(pack.numbers, "cells_heat_jpkgk", _CELLS_HEAT_JPKGK, Tag.TYPICAL)
            _put(pack.numbers, "own_heat_ratio", _OWN_HEAT, Tag.GUESS)
            if not pack.numbers["cold_ratio"].given:
                share = pack.numbers["cold_ratio"]
                pack.numbers["cold_ratio"] = replace(share, value=math.nan)
    for link in sheet.links:
        if _has_case(link):
            _put(link.numbers, "case_heat_jpkgk", _CASE_HEAT_JPKGK, Tag.TYPICAL)
            _put(link.numbers, "case_emissivity_ratio", _EMISSIVITY, Tag.TYPICAL)
            _put(link.numbers, "case_flow_ratio", 0.0, Tag.GUESS)


def _put(numbers: Numbers, key: str, value: float, tag: Tag) -> None:
    if not numbers[key].given:
        numbers[key] = filled(numbers[key], value, tag, None)


def _has_box(one: Entry) -> bool:
    return "cold_table" in one.tables or any(one.numbers[key].given for key in _BOX)


def _has_case(one: Entry) -> bool:
    return any(one.numbers[key].given for key in _CASE)


def box_of(one: Entry) -> BoxSpec | None:
    """Return the box of a pack found without problems, None where it states none."""
    if not _has_box(one):
        return None
    numbers, start, spread = one.numbers, one.numbers["start_celsius"], one.numbers["cold_ratio"]
    return BoxSpec(
        cells_kg=numbers["cells_kg"].value,
        specific_heat_jpkgk=numbers["cells_heat_jpkgk"].value,
        insulation_wpk=numbers["insulation_wpk"].known(),
        own_heat_ratio=numbers["own_heat_ratio"].value,
        start_k=start.value + CELSIUS_ZERO_K if start.given else None,
        table=tuple((c + CELSIUS_ZERO_K, share) for c, share in one.tables["cold_table"]),
        table_spread_ratio=spread.spread.size if spread.spread else _TABLE_SPREAD,
    )


def case_of(one: Entry) -> CaseSpec | None:
    """Return the case of a transmitter found without problems, None where it states none."""
    if not _has_case(one):
        return None
    numbers, limit = one.numbers, one.numbers["limit_celsius"]
    efficiency, heat_w = numbers["efficiency_ratio"], numbers["heat_w"].value
    if efficiency.given:
        heat_w = numbers["power_w"].value * (1.0 / efficiency.value - 1.0)
    return CaseSpec(
        heat_w=heat_w,
        area_m2=numbers["case_area_m2"].value,
        mass_kg=numbers["case_kg"].value,
        specific_heat_jpkgk=numbers["case_heat_jpkgk"].value,
        flow_ratio=numbers["case_flow_ratio"].value,
        emissivity_ratio=numbers["case_emissivity_ratio"].value,
        sun_w=numbers["case_sun_w"].value if numbers["case_sun_w"].given else 0.0,
        limit_k=limit.value + CELSIUS_ZERO_K if limit.given else None,
    )


def heat_problems(sheet: Sheet) -> Iterator[Problem]:
    """Yield what in boxes and cases is missing or said twice."""
    for i, one in enumerate(sheet.packs, start=1):
        yield from _box_problems(f"[[packs]] {i}", one)
    for i, one in enumerate(sheet.links, start=1):
        yield from _case_problems(f"[[links]] {i}", one)


def _box_problems(where: str, one: Entry) -> Iterator[Problem]:
    if not _has_box(one):
        return
    if one.numbers["cold_ratio"].given:
        what = "states cold_ratio and a box: two answers to one question."
        yield Problem(where, what, "Keep cold_ratio, or cells, insulation and cold_table.")
        return
    missing = [key for key in ("cells_kg", "insulation_wpk") if not one.numbers[key].given]
    missing += [] if "cold_table" in one.tables else ["cold_table"]
    if missing:
        yield Problem(where, f"states a box without {' and '.join(missing)}.", _WRITE_BOX)


def _case_problems(where: str, one: Entry) -> Iterator[Problem]:
    if not _has_case(one):
        return
    heat, efficiency = one.numbers["heat_w"], one.numbers["efficiency_ratio"]
    if heat.given and efficiency.given:
        what = "states heat and efficiency: two answers to one question."
        yield Problem(where, what, "Keep one of them.")
    missing = [] if heat.given or efficiency.given else ["heat_w"]
    missing += [key for key in ("case_area_m2", "case_kg") if not one.numbers[key].given]
    if missing:
        what = f"states its heat without {' and '.join(missing)}."
        yield Problem(where, what, _WRITE_CASE)
