"""What a file leaves out and physics gives back: heights from pressure, values between reports."""

from typing import Final

import numpy as np

from farglide.air.standard import standard_air
from farglide.arrays import FloatArray, IntArray
from farglide.constants import AIR_GAS_CONSTANT_JPKGK, SEA_LEVEL_PRESSURE_PA, STANDARD_GRAVITY_MPS2
from farglide.sources.levels.levels import OFFSETS, Levels, Report

_SCALE_MPK: Final = AIR_GAS_CONSTANT_JPKGK / STANDARD_GRAVITY_MPS2  # 29.27 m of height per kelvin
_LAPSE_KPM: Final = 0.0065  # ISO 2533:1975, table 1, below 11 km


def fill_heights(levels: Levels, report: Report) -> Levels:
    """Return the levels, sorted by falling pressure, with the heights that the file leaves out.

    The thickness between levels follows from pressure and temperature; between reported heights it
    is stretched to fit them, which also takes up the humidity.
    Source: hydrostatic equation and gas law, ISO 2533:1975, section 2 (numbering from memory).
    """
    missing = np.isnan(levels["gph_m"])
    if not missing.any() or len(levels) == 0:
        return levels
    anchors = np.flatnonzero(~missing)
    known = np.flatnonzero(np.isfinite(levels["t_k"]))
    if len(anchors) == 0 or len(known) == 0:
        what = "reports no height at any level that has a pressure, and not that of the ground."
        raise report.error(what, "Take a sounding with geopotential heights.")
    x = -np.log(levels["p_pa"])
    t_k = np.interp(x, x[known], levels["t_k"][known])
    layers = _SCALE_MPK * 0.5 * (t_k[1:] + t_k[:-1]) * np.diff(x)
    above_first_m = np.concatenate([[0.0], np.cumsum(layers)])
    shift_m = levels["gph_m"][anchors] - above_first_m[anchors]
    computed_m = above_first_m + np.interp(x, x[anchors], shift_m)
    place = np.arange(len(levels))
    keep = ~missing | ((place >= known[0]) & (place <= known[-1]))
    filled = levels.copy()
    filled["gph_m"] = np.where(missing, computed_m, levels["gph_m"])
    report.count((missing & keep).sum(), "computed from pressure and temperature", "height")
    report.count((~keep).sum(), "without height beyond the reported temperatures left out")
    kept: Levels = filled[keep]
    return kept


def fill_pressures(located: Levels, unpressed: Levels, report: Report) -> Levels:
    """Return both kinds of levels together, pressure interpolated where only height is reported.

    The logarithm of pressure is taken as linear in geopotential height between its neighbours.
    """
    if len(unpressed) == 0 or len(located) == 0:
        return located
    z = located["gph_m"]
    inside = (unpressed["gph_m"] >= z[0]) & (unpressed["gph_m"] <= z[-1])
    filled = unpressed[inside].copy()
    filled["p_pa"] = np.exp(np.interp(filled["gph_m"], z, np.log(located["p_pa"])))
    report.count(inside.sum(), f"interpolated at {report.noun}s with height only", "pressure")
    beyond = f"beyond the reported pressures, {z[0]:.0f} to {z[-1]:.0f} m"
    report.count((~inside).sum(), f"with height only left out: {beyond}")
    joined: Levels = np.concatenate([located, filled])
    return joined


def fill_between(levels: Levels, report: Report) -> Levels:
    """Return the levels, lowest first, from the lowest to the highest with temperature and wind.

    In between, what a level does not report is interpolated in the logarithm of pressure.
    """
    x = -np.log(levels["p_pa"])
    has_wind, has_temperature = np.isfinite(levels["u_mps"]), np.isfinite(levels["t_k"])
    ends = [np.flatnonzero(has)[[0, -1]] for has in (has_wind, has_temperature) if has.any()]
    if len(ends) < 2:
        raise report.error("temperature and wind share no level.", "Take a full sounding.")
    first, last = max(int(end[0]) for end in ends), min(int(end[1]) for end in ends)
    if last - first < 2:
        shared = f"with fewer than 3 {report.noun}s in common"
        what = f"temperature and wind are reported over different heights, {shared}."
        raise report.error(what, "Take a full sounding.")
    _note_ends(levels, first + len(levels) - 1 - last, ends, report)
    filled = levels.copy()
    for name in ("t_k", "u_mps", "v_mps", "rh_ratio", *OFFSETS):
        filled[name] = _between(x, levels[name])
    for word, has in (("wind", has_wind), ("temperature", has_temperature)):
        report.count((~has[first : last + 1]).sum(), "interpolated between reported ones", word)
    kept: Levels = filled[first : last + 1]
    return kept


def pressure_from_sea_level_pa(gph_m: FloatArray, t_k: FloatArray) -> FloatArray:
    """Return pressures at rising heights of dry air at rest over 101 325 Pa at sea level.

    Temperature is linear between heights, and falls by 6.5 K/km from sea level to the lowest.
    Source: hydrostatic equation and gas law, ISO 2533:1975, section 2 and table 1.

    >>> t_k = np.array([288.15, 255.65, 216.65])
    >>> pressure_from_sea_level_pa(np.array([0.0, 5000.0, 11000.0]), t_k).round(0).tolist()
    [101325.0, 54020.0, 22632.0]
    """
    z = np.concatenate([[0.0], gph_m])
    t = np.concatenate([[t_k[0] + _LAPSE_KPM * gph_m[0]], t_k])
    ratio = t[1:] / t[:-1]
    same = np.abs(ratio - 1.0) < 1e-9
    mean_k = np.where(same, t[1:], (t[1:] - t[:-1]) / np.where(same, 1.0, np.log(ratio)))
    pressures: FloatArray = SEA_LEVEL_PRESSURE_PA * np.exp(
        -np.cumsum(np.diff(z) / (_SCALE_MPK * mean_k))
    )
    return pressures


def standard_temperature_k(gph_m: FloatArray) -> FloatArray:
    """Return the temperatures of the standard atmosphere at geopotential heights."""
    return np.array([standard_air(float(h)).t_k for h in gph_m])


def check_hydrostatic(levels: Levels, report: Report) -> None:
    """Raise when the heights are not those of air with these pressures and temperatures.

    Feet taken for metres are 3.3 times too high; air itself keeps the law within about 2 %.
    """
    x = -np.log(levels["p_pa"])
    t_k = levels["t_k"]
    expected_m = float(np.sum(_SCALE_MPK * 0.5 * (t_k[1:] + t_k[:-1]) * np.diff(x)))
    stated_m = float(levels["gph_m"][-1] - levels["gph_m"][0])
    if abs(stated_m - expected_m) > 0.08 * expected_m + 50.0:
        raise report.error(
            f"from {levels['p_pa'][0]:.0f} to {levels['p_pa'][-1]:.0f} Pa the heights rise by "
            f"{stated_m:.0f} m, but air of these temperatures is {expected_m:.0f} m thick; "
            "allowed: within 8 %.",
            "Check the units of height (metres, not feet), pressure and temperature.",
        )


def _between(x: FloatArray, values: FloatArray) -> FloatArray:
    known = np.isfinite(values)
    if not known.any():
        return values
    filled: FloatArray = np.interp(x, x[known], values[known], left=np.nan, right=np.nan)
    return np.where(known, values, filled)


def _note_ends(levels: Levels, n_left_out: int, ends: list[IntArray], report: Report) -> None:
    gph_m = levels["gph_m"]
    spans = [
        f"{word} {gph_m[end[0]]:.0f} to {gph_m[end[1]]:.0f} m"
        for word, end in zip(("wind", "temperature"), ends, strict=True)
    ]
    text = f"left out, beyond the ends of what is reported: {', '.join(spans)}"
    report.count(n_left_out, text)
