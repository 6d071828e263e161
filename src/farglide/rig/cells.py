"""Cells: when a pack in a box ends, from the warmth of its cells along the reference flight."""

from typing import NamedTuple

import numpy as np

from farglide.air.column import AirColumn
from farglide.arrays import FloatArray
from farglide.errors import InputError
from farglide.outlook.faults import CellHeat
from farglide.power.cells import ends_s
from farglide.power.heat import Body, temperatures_k
from farglide.power.packs import SECONDS_PER_HOUR
from farglide.rig.profile import FlightProfile, around_of, reference_profile
from farglide.sortie.gear import BoxSpec, PackSpec
from farglide.sortie.spec import Sortie
from farglide.sortie.words import celsius_text

_LEAST_WALL_RATIO = 0.1  # of its middle: the thickest wall that a doubt may draw


class BoxedEnd(NamedTuple):
    """When a pack in a box ends, without its reserve, and how cold its cells get before."""

    after_launch_s: float
    sd_s: float
    heat: CellHeat


def boxed_end(sortie: Sortie, column: AirColumn, pack: PackSpec, delay_s: float = 0.0) -> BoxedEnd:
    """Return when a pack in a box ends, after the launch, and the doubt about it.

    The deviation joins those of energy, table and insulation, each moved up and down by its own.
    """
    box = _box(pack)
    on_s = pack.on_after_launch_s - delay_s
    profile = reference_profile(sortie, column, on_s)
    wall = box.insulation_wpk
    cells_k = _cells_k(pack, column, profile, wall.value)
    runs_s = _runs_s(pack, cells_k, profile, 1.0)
    if np.isnan(runs_s):
        _refuse_cold(pack, cells_k, profile)
    share = float(np.hypot(pack.energy_wh.spread_ratio, box.table_spread_ratio))
    by_energy = [_runs_s(pack, cells_k, profile, 1.0 + sign * share) for sign in (-1.0, 1.0)]
    ratios = [max(1.0 + sign * wall.spread_ratio, _LEAST_WALL_RATIO) for sign in (-1.0, 1.0)]
    moved_k = [_cells_k(pack, column, profile, wall.value * ratio) for ratio in ratios]
    by_wall = [_runs_s(pack, one_k, profile, 1.0) for one_k in moved_k]
    sd_s = float(np.hypot(_half_span(by_energy, runs_s), _half_span(by_wall, runs_s)))
    return BoxedEnd(on_s + runs_s, sd_s, _told(pack, cells_k, profile, runs_s))


def cell_heats(sortie: Sortie, column: AirColumn) -> tuple[CellHeat, ...]:
    """Return how cold the cells of each pack in a box get before it ends."""
    packs = [pack for pack in sortie.packs if pack.box is not None]
    return tuple(boxed_end(sortie, column, pack).heat for pack in packs)


def _box(pack: PackSpec) -> BoxSpec:
    if pack.box is None:
        remedy = "Give the pack a cold_ratio or a box."
        raise InputError("box", "None", "a box, where there is no cold_ratio", remedy)
    return pack.box


def _cells_k(
    pack: PackSpec, column: AirColumn, profile: FlightProfile, wall_wpk: float
) -> FloatArray:
    box = _box(pack)
    body = Body(
        mass_kg=box.cells_kg, specific_heat_jpkgk=box.specific_heat_jpkgk, conductance_wpk=wall_wpk
    )
    heat_w = np.full(len(profile.after_launch_s), box.own_heat_ratio * pack.load_w)
    around = around_of(column, profile, heat_w, 0.0)
    start_k = around.air_k[:, 0] if box.start_k is None else np.array([box.start_k])
    return temperatures_k(body, around, start_k)


def _runs_s(
    pack: PackSpec, cells_k: FloatArray, profile: FlightProfile, energy_ratio: float
) -> float:
    """Return how long the pack runs, NaN where its cells get colder than the table before."""
    step_s = float(profile.after_launch_s[1] - profile.after_launch_s[0])
    energy_wh = pack.aged_wh * max(energy_ratio, 0.05)
    return float(ends_s(cells_k, step_s, pack.load_w, energy_wh, _box(pack).table)[0])


def _half_span(sides_s: list[float], middle_s: float) -> float:
    """Return half of what two sides differ; a side that is not known lies as far as the other."""
    low, high = sides_s
    if np.isnan(low) and np.isnan(high):
        return 0.0
    if np.isnan(low) or np.isnan(high):
        return abs((high if np.isnan(low) else low) - middle_s)
    return 0.5 * abs(high - low)


def _refuse_cold(pack: PackSpec, cells_k: FloatArray, profile: FlightProfile) -> None:
    first_k = _box(pack).table[0][0]
    j = int(np.argmax(cells_k[0] < first_k))
    raise InputError(
        f"packs[{pack.name}] cells",
        f"colder than {celsius_text(first_k)} from T{profile.after_launch_s[j] / 60.0:+.0f} min on",
        f"{celsius_text(first_k)} and warmer, the rows of cold_table",
        f"By the end of the flight they are at {celsius_text(float(cells_k[0].min()))}. Measure "
        "the pack that cold and add a row, or insulate the box better.",
    )


def _told(pack: PackSpec, cells_k: FloatArray, profile: FlightProfile, runs_s: float) -> CellHeat:
    while_on = profile.after_launch_s <= profile.after_launch_s[0] + runs_s
    j = int(np.argmin(np.where(while_on, cells_k[0], np.inf)))
    return CellHeat(
        pack=pack.name,
        coldest_k=float(cells_k[0, j]),
        coldest_after_launch_s=float(profile.after_launch_s[j]),
        coldest_amsl_m=float(profile.amsl_m[j]),
        left_ratio=runs_s * pack.load_w / (SECONDS_PER_HOUR * pack.aged_wh),
    )
