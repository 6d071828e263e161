"""Packs: batteries, and the boxes in which their cells cool.

Stand-ins from memory: cells 1000 J/(kg K); lithium cells at moderate load turn a few per cent of it
into heat.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, choice, guess, needed, shares, stand_in
from farglide.flightfile.reading.lists import PairTable
from farglide.flightfile.reading.reader import Reader
from farglide.sortie.gear import BoxSpec, PackSpec
from farglide.sortie.known import Tag
from farglide.units import CELSIUS_ZERO_K

_CELLS_HEAT_JPKGK: Final = 1000.0
_OWN_HEAT: Final = 0.05
_TABLE_SPREAD: Final = 0.05
_FREEZER: Final = "run the whole rig in a freezer until it dies"
_WRITE_BOX: Final = (
    "Write cells_g, insulation_wpk and cold_table = [[-20, 0.6], [20, 1.0]], or cold_ratio alone."
)

_PACK_ROWS: Final = (
    needed("energy", unit.ENERGY, (0.05, 1000.0), "its rated energy is",
           doubt=shares(0.03, 0.10, 0.20), settle=_FREEZER),
    needed("load", unit.POWER, (0.005, 200.0), "it feeds a load of",
           settle="measure the current of the whole rig"),
    # 60 to 75 % at -20 C: from memory
    guess("cold", unit.RATIO, (0.05, 1.0), "the share of it that the cold leaves is", 0.65,
          doubt=shares(0.05, 0.10, 0.15), settle=_FREEZER),
    choice("on_after_launch", unit.TIME, (-21_600.0, 21_600.0),
           "it is switched on, counted from the launch, at", -900.0),
    choice("reserve", unit.TIME, (0.0, 7200.0), "the reserve kept at its end is", 180.0),
    Quantity("ageing", unit.RATIO, (0.1, 1.0), "of that, age has left a share of"),
)  # fmt: skip
_BOX_ROWS: Final = (
    Quantity("cells", unit.MASS, (0.005, 10.0), "its cells, in a box, weigh"),
    Quantity("cells_heat", unit.SPECIFIC_HEAT, (300.0, 3000.0), "the specific heat of its cells is",
             tag=Tag.TYPICAL),
    Quantity("insulation", unit.CONDUCTANCE, (0.001, 10.0), "the walls of its box let through",
             doubt=shares(0.1, 0.2, 0.4),
             settle="close the box round a resistor of 1 W and wait: watts over kelvins"),
    Quantity("own_heat", unit.RATIO, (0.0, 1.0),
             "of the load, the share that stays in the box as heat is",
             settle="feel what grows warm in the box, and add up its watts"),
    Quantity("start", unit.CELSIUS, (-40.0, 60.0), "at the switch-on its cells have"),
)  # fmt: skip
_COLD_TABLE: Final = PairTable(
    key="cold_table",
    n_rows=(2, 40),
    shape="a list of 2 to 40 pairs",
    example="Write cold_table = [[-20, 0.6], [0, 0.85], [20, 1.0]], Celsius and share.",
    first=(-70.0, 75.0),
    second=(0.0, 1.2),
    allowed="-70 to 75 °C, share 0 to 1.2",
    slip="Write 60 % as 0.6.",
    unsorted="temperatures",
    sort="Sort the rows, coldest first.",
)


def pack_of(one: Entry) -> PackSpec:
    """Return a pack found without problems."""
    box, ageing_ratio = _box(one), one.stated("ageing_ratio") or 1.0
    cold_ratio = None if box else one.known("cold_ratio")
    return one.spec(PackSpec, cold_ratio=cold_ratio, ageing_ratio=ageing_ratio, box=box)


def _box(one: Entry) -> BoxSpec | None:
    if not _has_box(one):
        return None
    start_c, spread = one.stated("start_celsius"), one.numbers["cold_ratio"].spread
    return one.spec(
        BoxSpec,
        specific_heat_jpkgk=one.value("cells_heat_jpkgk"),
        start_k=None if start_c is None else start_c + CELSIUS_ZERO_K,
        table=tuple((c + CELSIUS_ZERO_K, share) for c, share in one.tables["cold_table"]),
        table_spread_ratio=spread.size if spread else _TABLE_SPREAD,
    )


def _has_box(one: Entry) -> bool:
    return "cold_table" in one.tables or any(one.given(row.key) for row in _BOX_ROWS)


def pack_problems(packs: list[Entry]) -> Iterator[Problem]:
    """Yield packs that end before the launch."""
    for one in packs:
        lasts_s = 3600.0 * one.value("energy_wh") * one.value("cold_ratio") / one.value("load_w")
        end_s = one.value("on_after_launch_s") + lasts_s - one.value("reserve_s")
        if end_s <= 0.0:
            what = f"ends {-end_s / 60.0:.0f} min before the launch, its reserve kept."
            remedy = "Check energy_wh (mAh × volts / 1000) and load_w."
            yield one.problem("", what, remedy)


def box_problems(packs: list[Entry]) -> Iterator[Problem]:
    """Yield what in boxes is missing or said twice."""
    for one in packs:
        missing = [key for key in ("cells_kg", "insulation_wpk") if not one.given(key)]
        missing += [] if "cold_table" in one.tables else ["cold_table"]
        if not _has_box(one):
            continue
        if one.given("cold_ratio"):
            what = "states cold_ratio and a box: two answers to one question."
            yield one.problem("", what, "Keep cold_ratio, or cells, insulation and cold_table.")
        elif missing:
            yield one.problem("", f"states a box without {' and '.join(missing)}.", _WRITE_BOX)


def _finish(_: Reader, one: Entry) -> None:
    """Put the stand-ins of a box in; it takes the place of one share."""
    if _has_box(one):
        stand_in(one.numbers, "cells_heat_jpkgk", _CELLS_HEAT_JPKGK, Tag.TYPICAL)
        stand_in(one.numbers, "own_heat_ratio", _OWN_HEAT, Tag.GUESS)
        if not one.given("cold_ratio"):
            one.numbers["cold_ratio"] = replace(one.numbers["cold_ratio"], value=math.nan)


PACKS: Final = Section(
    name="packs",
    noun="pack",
    about="One section for each battery pack; the first to end binds. What the cold leaves of it "
    "is one share, ``cold``, or follows from a box: cells, insulation and a ``cold_table``. In a "
    "box the cells cool and warm along a reference flight (the climb without errors to its burst, "
    "then best glide down), and a watt-second drawn while only a share is left counts for "
    "1 / share.",
    rows=(*_PACK_ROWS, *_BOX_ROWS),
    texts=("name",),
    tables=(_COLD_TABLE,),
    finish=_finish,
    words={
        "name": "what the pack feeds",
        "cold_table": "pairs of Celsius (-70 to 75, rising) and share of the energy left (0 to "
        "1.2), from the crew's own cells: with ``cells`` and ``insulation`` in place of ``cold``. "
        "``cold_spread_ratio`` is then its spread, 0.05 left out",
    },
)
