"""Packs: how long the energy lasts in the cold, and when that is on the flight's clock."""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from farglide.errors import InputError, check_range

SECONDS_PER_HOUR: Final = 3600.0
# More is taken for milliampere hours: 1000 Wh of lithium cells weigh about 4 kg (from memory, 250
# Wh/kg), more than everything that hangs below such a balloon.
TOP_ENERGY_WH: Final = 1000.0


def runs_for_s(energy_wh: float, cold_ratio: float, load_w: float) -> float:
    """Return how long a pack feeds its load: energy x share left in the cold / load.

    The voltage at which the load gives up is not looked at: take the energy down to that voltage.
    Valid: `cold_ratio` 0.05 to 1, from a test of the whole rig in the cold if there is one.

    >>> round(runs_for_s(26.0, 0.65, 7.0) / 60.0)
    145
    """
    if not 0.0 < energy_wh <= TOP_ENERGY_WH:
        given = f"{energy_wh:g} Wh"
        remedy = (
            "If these are mAh, multiply by the nominal voltage and divide by 1000: "
            "2400 mAh at 10.8 V are 25.9 Wh."
        )
        raise InputError("energy_wh", given, f"more than 0, up to {TOP_ENERGY_WH:g} Wh", remedy)
    check_range("cold_ratio", cold_ratio, "", (0.05, 1.0), "Write 65 % as 0.65.")
    check_range("load_w", load_w, "W", (0.01, 1000.0), "Give watts, not milliwatts.")
    return energy_wh * SECONDS_PER_HOUR * cold_ratio / load_w


def ends_after_launch_s(runs_s: float, on_after_launch_s: float) -> float:
    """Return when a pack ends after the launch; switched on before it, `on_after_launch_s` < 0.

    >>> round(ends_after_launch_s(runs_for_s(26.0, 0.65, 7.0), -15 * 60.0) / 60.0, 1)
    129.9
    """
    if not runs_s > 0.0:
        raise InputError("runs_s", f"{runs_s:g} s", "more than 0 s")
    if not -86_400.0 <= on_after_launch_s <= 86_400.0:
        allowed = "one day either side of the launch, -86400 to 86400 s"
        raise InputError("on_after_launch_s", f"{on_after_launch_s:g} s", allowed)
    return on_after_launch_s + runs_s


def cold_ratio(temperature_k: float, table: Sequence[tuple[float, float]]) -> float:
    """Return the share of a pack's energy left at a cell temperature, from the user's own table.

    `table` holds (temperature_k, ratio) by rising temperature; straight lines join the rows.
    Cells differ far too much for a built-in table: about half is left at -18 C by one general
    source, second-hand, nearly all at -20 C by a maker of cold-rated cells.
    Valid: within the table; outside it nothing was measured, so it raises.

    >>> round(cold_ratio(273.15, [(255.15, 0.5), (300.15, 1.0)]), 3)
    0.7
    """
    check_table(table)
    coldest_k, warmest_k = table[0][0], table[-1][0]
    if not coldest_k <= temperature_k <= warmest_k:
        allowed = f"{coldest_k:g} to {warmest_k:g} K, the ends of the table"
        remedy = "Measure the pack at that temperature and add a row."
        raise InputError("temperature_k", f"{temperature_k:g} K", allowed, remedy)
    above = bisect_left([row_k for row_k, _ in table], temperature_k, lo=1)
    (low_k, low), (high_k, high) = table[above - 1], table[above]
    return low + (high - low) * (temperature_k - low_k) / (high_k - low_k)


def check_table(table: Sequence[tuple[float, float]]) -> None:
    """Refuse a table of shares that is too short, does not rise, or is written in other units."""
    if len(table) < 2:
        raise InputError("table", f"{len(table)} rows", "2 rows or more")
    kelvins = "Give kelvins: -20 C is 253.15."
    for temperature_k, ratio in table:
        check_range("table temperature", temperature_k, "K", (200.0, 350.0), kelvins)
        check_range("table ratio", ratio, "", (0.0, 1.2), "Write 65 % as 0.65.")
    for (low_k, _), (high_k, _) in pairwise(table):
        if high_k <= low_k:
            allowed = f"more than the {low_k:g} K of the row before it"
            raise InputError("table temperature", f"{high_k:g} K", allowed, "Sort the rows.")
