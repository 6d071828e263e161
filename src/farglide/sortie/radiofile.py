"""Radio of a flight file: links and stands out of their entries, and what cannot hold together."""

import math
from collections.abc import Iterator
from typing import Final, Literal, cast

from farglide.errors import Problem
from farglide.sortie.defaults import Numbers
from farglide.sortie.heatfile import case_of
from farglide.sortie.sheet import Entry, Sheet
from farglide.sortie.spec import LinkSpec, StandSpec

_UNTESTED_DB: Final = 8.0
_TESTED_DB: Final = 3.0
_THRESHOLDS: Final = (
    "Write noise_figure_db and needed_ratio_db, or sensitivity_dbm, or reached_km: one of the ways."
)


def link_spec(one: Entry) -> LinkSpec:
    """Return a link whose entry was found without problems."""
    numbers = one.numbers
    return LinkSpec(
        name=one.name,
        purpose=cast(Literal["command", "picture", "position"], one.texts["purpose"]),
        is_digital=one.texts["kind"] == "digital",
        frequency_hz=numbers["frequency_hz"].value,
        bandwidth_hz=numbers["bandwidth_hz"].value,
        power_w=numbers["power_w"].known(),
        sender_loss_db=numbers["sender_loss_db"].value,
        sender_gain_dbi=numbers["sender_gain_dbi"].value,
        receiver_gain_dbi=numbers["receiver_gain_dbi"].value,
        receiver_loss_db=numbers["receiver_loss_db"].value,
        noise_figure_db=_stated(numbers, "noise_figure_db"),
        needed_ratio_db=_stated(numbers, "needed_ratio_db"),
        sensitivity_dbm=_stated(numbers, "sensitivity_dbm"),
        reached_m=_stated(numbers, "reached_m"),
        offset_db=numbers["offset_db"].value,
        spread_db=_spread_db(numbers),
        case=case_of(one),
        needs=one.lists["needs"],
    )


def stand_spec(one: Entry) -> StandSpec:
    """Return a stand whose entry was found without problems."""
    numbers = one.numbers
    return StandSpec(
        name=one.name,
        lat_deg=numbers["lat_deg"].value,
        lon_deg=numbers["lon_deg"].value,
        amsl_m=numbers["amsl_m"].value,
        mast_m=numbers["mast_m"].value,
        drive_s=_stated(numbers, "drive_s"),
        nose_deg=_stated(numbers, "nose_deg"),
    )


def link_problems(sheet: Sheet) -> Iterator[Problem]:
    """Yield what in the links cannot hold together."""
    for i, one in enumerate(sheet.links, start=1):
        where, numbers = f"[[links]] {i}", one.numbers
        if numbers["bandwidth_hz"].value >= numbers["frequency_hz"].value:
            what = f"is {numbers['bandwidth_hz'].value:g} Hz, not less than the frequency."
            yield Problem(f"{where} bandwidth", what, "Are the two exchanged?")
        pair = [numbers[key].given for key in ("noise_figure_db", "needed_ratio_db")]
        ways = [any(pair), numbers["sensitivity_dbm"].given, numbers["reached_m"].given]
        if sum(ways) != 1:
            what = "states more than one threshold." if any(ways) else "states no threshold."
            yield Problem(where, what, _THRESHOLDS)
        elif any(pair) and not all(pair):
            what = "states one of noise_figure_db and needed_ratio_db, and needs both."
            yield Problem(where, what, _THRESHOLDS)


def _spread_db(numbers: Numbers) -> float:
    """Return the doubt about a budget: as stated, else by whether a ground test stands behind it.

    Common practice, no source: a budget on paper may be off by 8 dB, a tested one by 3.
    """
    stated = _stated(numbers, "spread_db")
    if stated is not None:
        return stated
    return _TESTED_DB if numbers["offset_db"].given else _UNTESTED_DB


def _stated(numbers: Numbers, key: str) -> float | None:
    number = numbers[key]
    return number.value if number.given and not math.isnan(number.value) else None
