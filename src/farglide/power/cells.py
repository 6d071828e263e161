"""Cells: when a pack ends whose cells cool and warm on the way."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError, check_range
from farglide.kernel import compiled, inner
from farglide.power.packs import SECONDS_PER_HOUR, check_table


class _Table(NamedTuple):
    """What share of the energy is left at which temperature, by rising temperature."""

    t_k: FloatArray
    share_ratio: FloatArray


def ends_s(
    temperature_k: FloatArray,
    step_s: float,
    load_w: float,
    energy_wh: float,
    table: Sequence[tuple[float, float]],
) -> FloatArray:
    """Return when a pack ends on each flight, in seconds from its first temperature.

    `temperature_k`: of the cells, shape (n_flights, n_steps); `table`: (temperature_k, share of
    the energy left), by rising temperature. A watt-second drawn while only a share is left counts
    for 1 / share of the rated energy; the pack ends when the sum has reached it. With one share
    throughout this is energy x share / load. After the last temperature its own share holds. Warmer
    than the table the share of its last row is held; colder than its first row before the end gives
    NaN: nothing was measured there.
    Source: the sum is a convention, common practice, no source: what cold withholds comes back
    when the cells warm, which only a run of the whole rig can show.

    >>> steady = np.full((1, 3), 273.15)
    >>> round(float(ends_s(steady, 60.0, 7.0, 26.0, [(255.15, 0.5), (300.15, 1.0)])[0]))
    9360
    """
    check_table(table)
    check_range("load_w", load_w, "W", (0.005, 1000.0), "Give watts, not milliwatts.")
    check_range("energy_wh", energy_wh, "Wh", (1e-3, 1000.0))
    check_range("step_s", step_s, "s", (1e-3, 600.0))
    if temperature_k.ndim != 2 or temperature_k.shape[1] < 2 or np.isnan(temperature_k).any():
        what = f"of shape {temperature_k.shape}"
        raise InputError("temperature_k", what, "(n_flights, n_steps) of numbers, 2 steps or more")
    shares = _Table(*np.array(table, dtype=np.float64).T)
    out = np.empty(len(temperature_k))
    energy_j = energy_wh * SECONDS_PER_HOUR
    for i, along_k in enumerate(temperature_k):
        out[i] = _end_s(along_k, float(step_s), float(load_w), energy_j, shares)
    return out


@inner
def _share(t_k: float, table: _Table) -> float:
    """Return the share left, NaN colder than the first row, the last row's beyond it."""
    rows_k, shares = table.t_k, table.share_ratio
    if t_k < rows_k[0]:
        return np.nan
    i = 1
    while i < len(rows_k) - 1 and t_k > rows_k[i]:
        i += 1
    w = min((t_k - rows_k[i - 1]) / (rows_k[i] - rows_k[i - 1]), 1.0)
    return shares[i - 1] + w * (shares[i] - shares[i - 1])


@compiled
def _end_s(
    along_k: FloatArray, step_s: float, load_w: float, left_j: float, table: _Table
) -> float:
    rate_w = load_w / _share(along_k[0], table)
    for j in range(1, len(along_k)):
        next_w = load_w / _share(along_k[j], table)
        drawn_j = 0.5 * (rate_w + next_w) * step_s
        if not drawn_j < left_j:  # also where a share is 0 or not known
            return (j - 1) * step_s + left_j / drawn_j * step_s
        left_j -= drawn_j
        rate_w = next_w
    return (len(along_k) - 1) * step_s + left_j / rate_w
