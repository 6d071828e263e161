"""Limits: the same draws with a limit taken away, to see what it alone costs."""

from collections.abc import Collection
from dataclasses import replace
from typing import Final, Literal

import numpy as np

from farglide.chances.ensemble import Ensemble, with_air, with_glider
from farglide.chances.parts import Air
from farglide.plan.fill import with_value
from farglide.rig.profile import scene_of

Limit = Literal["mach", "top_eas", "wind", "packs", "light", "command", "picture"]
Group = Literal["speeds", "wind", "time", "links"]

GROUPS: Final[dict[Group, tuple[Limit, ...]]] = {
    "speeds": ("mach", "top_eas"),
    "wind": ("wind",),
    "time": ("packs", "light"),
    "links": ("command", "picture"),
}
"""Limits of one kind: asked together first, and one by one where that saves anything."""
_NO_MACH: Final = 0.95
"""The highest that a flight file may state."""
_NO_EAS_MPS: Final = 60.0
"""No wind on the way home, scaled to EAS, is faster than the tables of reach cover."""
_NO_PURPOSE: Final = "position"
"""What a link is for that no field needs."""


def without(ensemble: Ensemble, limits: Collection[Limit]) -> Ensemble:
    """Return the same draws, where they are, with some limits taken away.

    Without wind there is none on the way home, nor the doubt that grows with its speed. States that
    draws are in already stay: a balloon has drifted in the wind that there was.
    """
    found = ensemble
    if "mach" in limits or "top_eas" in limits:
        found = _faster(found, limits)
    if "wind" in limits:
        found = _in_calm_air(found)
    if "packs" in limits or "light" in limits:
        found = _lasting(found, limits)
    return _heard(found, limits)


def _faster(ensemble: Ensemble, limits: Collection[Limit]) -> Ensemble:
    """Return the ensemble with a glider free of a speed limit, in the pull-out as on the way."""
    sortie, freed = ensemble.sortie, dict[str, float]()
    if "mach" in limits:
        sortie = with_value(sortie, "glider", "top_mach", _NO_MACH)
        freed["top_mach"] = float("inf")
    if "top_eas" in limits:
        top_mps = max(_NO_EAS_MPS, sortie.glider.top_eas_mps)
        sortie = with_value(sortie, "glider", "top_eas_mps", top_mps)
        freed["top_eas_mps"] = float("inf")
    found = with_glider(ensemble, sortie, ensemble.grain)
    craft = replace(found.craft, limits=found.craft.limits._replace(**freed))
    return replace(found, craft=craft)


def _in_calm_air(ensemble: Ensemble) -> Ensemble:
    column = ensemble.air.column
    still = np.zeros_like(column.layers.u_mps)
    layers = column.layers._replace(u_mps=still, v_mps=still.copy())
    calm = replace(column, layers=layers)
    scene = scene_of(ensemble.sortie, calm)
    return with_air(ensemble, Air(sounding=ensemble.air.sounding, column=calm, scene=scene))


def _lasting(ensemble: Ensemble, limits: Collection[Limit]) -> Ensemble:
    reach, n = ensemble.reach, len(ensemble.reach.haste.end_s)
    endless = np.full(n, np.inf)
    packs_s = endless if "packs" in limits else ensemble.draws.pack_end_s
    light_s = np.inf if "light" in limits else reach.light_end_s - ensemble.grain.delay_s
    haste = reach.haste._replace(end_s=np.minimum(packs_s, light_s))
    return replace(ensemble, reach=replace(reach, haste=haste))


def _heard(ensemble: Ensemble, limits: Collection[Limit]) -> Ensemble:
    """Return the ensemble with no need for a link of some purposes."""
    listening = ensemble.listening
    if listening is None:
        return ensemble
    purposes = tuple(_NO_PURPOSE if one in limits else one for one in listening.purposes)
    return replace(ensemble, listening=replace(listening, purposes=purposes))
