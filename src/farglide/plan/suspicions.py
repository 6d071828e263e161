"""Suspicions: slips that a flight and its winds look like, asked aloud beside the answer.

Nothing is refused for them: each is rare, but can be meant.
"""

import math
from collections.abc import Collection, Iterable, Iterator
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.earth.clock import date_text, utc_offset_s
from farglide.outlook.fields import FieldOutlook
from farglide.rig.winds import DATELESS, PLACELESS
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Launch, Sortie
from farglide.sortie.words import clock_doubt
from farglide.units import KNOT_MPS

_FAR_OFF_GROUND_M: Final = 60.0
_YEAR_S: Final = 365.25 * 86_400.0
_STEP_M: Final = 250.0
_STRONG_MPS: Final = 80.0
_STRONG_GROUND_MPS: Final = 15.0
_STRONG_SHEAR_MPS: Final = 30.0  # over a kilometre
"""Of 422 open soundings above 12 km, one of these is passed by 21; read with knots as m/s, by 257
(the soundings of docs/soundings.rst)."""
_JET_M: Final = (8_000.0, 13_000.0)
_WESTERLY_DEG: Final = 30.0
_EASTERLY_MPS: Final = 8.0
"""No one of 290 open soundings beyond 30 degrees of latitude is so far from the east in the mean;
turned round, 231 are."""
_TROPICS_DEG: Final = 20.0
_POLEWARD_DEG: Final = 55.0
_LOW_500_HPA_M: Final = 5550.0
_HIGH_500_HPA_M: Final = 5780.0
"""Where 500 hPa lie: within 20 degrees in 5740 to 5960 m, beyond 55 in 4830 to 5590 m, over 205
open soundings."""


def suspicions(sortie: Sortie, pack: Pack) -> tuple[str, ...]:
    """Return what a flight, its winds and its ground look like slips of, as plain sentences."""
    offset_h = utc_offset_s(sortie.launch.t_s, sortie.launch.zone) / 3600.0
    clock = clock_doubt(offset_h, sortie.launch.lat_deg, sortie.launch.lon_deg)
    return (*filter(None, (clock,)), *heights_off(sortie, pack.terrain),
            *wind_suspicions(sortie.launch, pack.sounding))  # fmt: skip


def untold(notes: Iterable[str], told: Collection[str]) -> tuple[str, ...]:
    """Return notes without those that were told aloud already."""
    return tuple(note for note in notes if note not in told)


def heights_off(sortie: Sortie, terrain: Terrain | None) -> Iterator[str]:
    """Yield launch, fields, stands and launch places whose height is not that of the ground."""
    if terrain is None:
        return
    told = (
        ("launch", (sortie.launch,)), ("field", sortie.fields), ("stand", sortie.stands),
        ("launch place", sortie.launch_places),
    )  # fmt: skip
    for what, places in told:
        for one in places:
            lat_deg, lon_deg = np.array(one.lat_deg), np.array(one.lon_deg)
            off_m = one.amsl_m - float(height_amsl_m(terrain, lat_deg, lon_deg))
            if abs(off_m) > _FAR_OFF_GROUND_M:
                side = "over" if off_m > 0.0 else "under"
                yield (
                    f"The {what} {one.name} is stated {abs(off_m):.0f} m {side} the ground of "
                    "[terrain]: is its height in metres, and its place right?"
                )


def wind_suspicions(launch: Launch, sounding: Sounding) -> Iterator[str]:
    """Yield what the winds look like slips of, and what they do not say of themselves."""
    placeless = math.isnan(sounding.lat_deg) or math.isnan(sounding.lon_deg)
    if placeless:
        yield PLACELESS
    if math.isnan(sounding.t_s):
        yield DATELESS
    if math.isnan(sounding.run_t_s):  # a forecast has its units in its code
        yield from _as_knots(sounding)
    yield from _turned_round(launch, sounding)
    if placeless:
        yield from _of_another_latitude(launch, sounding)


def launch_away(launch: Launch, now_t_s: float) -> Iterator[str]:
    """Yield that a launch is a year or more from today."""
    years = (launch.t_s - now_t_s) / _YEAR_S
    if abs(years) >= 1.0:
        when = f"{abs(years):.1f} years {'from now' if years > 0.0 else 'ago'}"
        day = date_text(launch.t_s, launch.zone)
        yield f"The launch on {day} is {when}: is its year right (launch_at)?"


def guessed_limit(fields: tuple[FieldOutlook, ...]) -> Iterator[str]:
    """Yield that a guess of the top Mach number or speed shuts heights of a field."""
    causes = [cause for field in fields for band in field.bands for cause in band.causes]
    limits = [one.words for one in causes if one.is_guess and one.kind in ("mach", "speeds")]
    for words in limits[:1]:
        state = "State the glider's top Mach number and airspeed (top_mach, top_eas)."
        yield f"A limit that nobody stated decides: {words}. {state}"


def _grid(sounding: Sounding) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return heights up to 20 km, and the winds there."""
    low_m, top_m = float(sounding.gph_m[0]), min(sounding.top_gph_m, 20_000.0)
    heights_m = np.arange(low_m, max(top_m, low_m + 2.0 * _STEP_M), _STEP_M)
    winds = (np.interp(heights_m, sounding.gph_m, x) for x in (sounding.u_mps, sounding.v_mps))
    u_mps, v_mps = winds
    return heights_m, u_mps, v_mps


def _as_knots(sounding: Sounding) -> Iterator[str]:
    heights_m, u_mps, v_mps = _grid(sounding)
    speed_mps = np.hypot(u_mps, v_mps)
    n = min(round(1000.0 / _STEP_M), len(u_mps) - 1)
    shear_mps = np.hypot(u_mps[n:] - u_mps[:-n], v_mps[n:] - v_mps[:-n])
    fastest, sharpest = int(np.argmax(speed_mps)), int(np.argmax(shear_mps))
    ask = "Are these knots, read as m/s? In a CSV file their column is wind_kt."
    if speed_mps[fastest] > _STRONG_MPS:
        at = f"{speed_mps[fastest]:.0f} m/s at {heights_m[fastest] / 1000.0:.0f} km"
        as_knots = f"as knots {KNOT_MPS * speed_mps[fastest]:.0f} m/s"
        yield f"The winds reach {at}, which is rare; {as_knots}. {ask}"
    elif speed_mps[0] > _STRONG_GROUND_MPS:
        at = f"{speed_mps[0]:.0f} m/s in the lowest wind"
        yield f"It blows with {at}, too much to fill a balloon. {ask}"
    elif shear_mps[sharpest] > _STRONG_SHEAR_MPS:
        at = f"{shear_mps[sharpest]:.0f} m/s within 1 km at {heights_m[sharpest] / 1000.0:.0f} km"
        yield f"The wind changes by {at}, which is rare. {ask}"


def _turned_round(launch: Launch, sounding: Sounding) -> Iterator[str]:
    heights_m, u_mps, _ = _grid(sounding)
    jet = (heights_m > _JET_M[0]) & (heights_m < _JET_M[1])
    if abs(launch.lat_deg) < _WESTERLY_DEG or heights_m[-1] < _JET_M[1] or not jet.any():
        return
    u_jet_mps = float(u_mps[jet].mean())
    if u_jet_mps < -_EASTERLY_MPS:
        yield (
            f"From 8 to 13 km the wind comes from the east, {-u_jet_mps:.0f} m/s in the mean, "
            "where it nearly always comes from the west. Are the directions those that it blows "
            "to? A direction is where it comes from (wind_from_deg)."
        )


def _of_another_latitude(launch: Launch, sounding: Sounding) -> Iterator[str]:
    if not sounding.p_pa[0] > 5.0e4 > sounding.p_pa[-1]:
        return
    at_m = float(np.interp(-math.log(5.0e4), -np.log(sounding.p_pa), sounding.gph_m))
    lat_deg = abs(launch.lat_deg)
    warm = lat_deg > _POLEWARD_DEG and at_m > _HIGH_500_HPA_M
    cold = lat_deg < _TROPICS_DEG and at_m < _LOW_500_HPA_M
    if warm or cold:
        usual = "the tropics" if warm else "higher latitudes"
        yield (
            f"500 hPa lie at {at_m:.0f} m in the winds' file, as in {usual}, and the launch at "
            f"{launch.lat_deg:g} degrees: are latitude and longitude swapped "
            "(lat_deg, lon_deg)?"
        )
