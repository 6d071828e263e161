"""The demo as its independent figures were computed, and the one whose balloon leaks."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from farglide.air.sounding import Sounding
from farglide.chances.ahead import ahead, aloft_at
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

CLOCK_S = 30.0
LEAK_FROM_S = 38.0 * 60.0
LEAK_RATIO_PS = 0.00034
FloatArray = NDArray[np.float64]


def low_of(sortie: Sortie) -> Sortie:
    """Return the demo as its independent figures were computed: from height 0, without links.

    And flown up to its limits.
    """
    sortie = replace(sortie, links=(), stands=(), terrain=None)
    glider = replace(sortie.glider, speed_margin_ratio=0.0)
    return replace(sortie, glider=glider, launch=replace(sortie.launch, amsl_m=0.0))


def veered(sounding: Sounding) -> Sounding:
    """Return the demo's winds turned right by 22 degrees from 5 to 12 km, and weaker above 23 km.

    Both taper: to 4 and 13 km, and from 22 km on, where 3.5 m/s are missing.
    """
    km = np.asarray(sounding.gph_m) / 1e3
    turn = np.radians(22.0 * np.clip(np.minimum(km - 4.0, 13.0 - km), 0.0, 1.0))
    u = sounding.u_mps * np.cos(turn) + sounding.v_mps * np.sin(turn)
    v = -sounding.u_mps * np.sin(turn) + sounding.v_mps * np.cos(turn)
    speed = np.hypot(u, v)
    share = np.maximum(speed - 3.5 * np.clip(km - 22.0, 0.0, 1.0), 0.0) / np.maximum(speed, 1e-9)
    return replace(sounding, u_mps=u * share, v_mps=v * share)


def widest_at(ensemble: Ensemble, moment: int) -> FloatArray:
    """Return the widest that each draw's film has been by a moment of its climb."""
    return np.asarray(np.nanmax(ensemble.climbs.tracks.diameter_m[:, : moment + 1], axis=1))


def leaking_of(low: Sortie, sounding: Sounding) -> Ensemble:
    """Return the flight without errors in those winds, with a hole in the balloon from T+38 on."""
    whole = plain_ensemble(low, veered(sounding), Grain(slowing=False))
    moment = round(LEAK_FROM_S / CLOCK_S)
    now, widest_m = aloft_at(whole, moment), widest_at(whole, moment)
    balloon = whole.climbs.balloon
    holed = balloon.envelope._replace(leak_ratio_ps=LEAK_RATIO_PS, leak_from_s=LEAK_FROM_S)
    climbs = replace(whole.climbs, balloon=balloon._replace(envelope=holed))
    return ahead(replace(whole, climbs=climbs), now, widest_m, 3.2 * 3600.0)
