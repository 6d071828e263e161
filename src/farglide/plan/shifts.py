"""Shifts: the same draws where one thing that nobody knows is a deviation off."""

from dataclasses import replace
from typing import Final

import numpy as np

from farglide.air.doubt import Apart, wind_doubt
from farglide.chances.ensemble import Ensemble, with_balloon, with_glider
from farglide.chances.trial import drift_axis_rad
from farglide.plan.fill import with_value
from farglide.rig.doubts import doubts_of
from farglide.rig.listening import ready_s
from farglide.sim.core.draws import redrawn
from farglide.sortie.gear import PackSpec
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

_TENTH: Final = 0.1
_FRESH_S: Final = 3600.0
"""Winds that are doubted no more than measured ones of this age are not worth asking anew."""


def moved(value: float, sd: float, sign: float) -> float:
    """Return a number moved by one deviation, by a tenth where it has none."""
    return value + sign * (sd or _TENTH * abs(value))


def number_off(ensemble: Ensemble, section: str, name: str, sign: float) -> Ensemble:
    """Return the ensemble with a number of the flight file off; no share gets above one."""
    known = getattr(getattr(ensemble.sortie, section), name)
    if isinstance(known, Known):
        value = moved(known.value, known.sd, sign)
    else:
        value = moved(known, 0.0, sign)
    value = min(value, 1.0) if name in ("flown_ratio", "free_after_burst_ratio") else value
    sortie = with_value(ensemble.sortie, section, name, value)
    if section in ("release", "train"):  # asked of the sortie when a release is
        return replace(ensemble, sortie=sortie)
    if section == "balloon":
        return with_balloon(ensemble, sortie)
    return with_glider(ensemble, sortie, ensemble.grain)


def pack_off(ensemble: Ensemble, row: int, name: str, sign: float) -> Ensemble:
    """Return the ensemble with a pack that holds more or less, or whose box keeps it warmer."""
    sortie = ensemble.sortie
    packs = list(sortie.packs)
    packs[row] = _other_pack(packs[row], name, sign)
    other = replace(sortie, packs=tuple(packs))
    doubts = doubts_of(other, ensemble.air.column, ensemble.grain)
    draws, reach = redrawn(ensemble.draws, doubts, ensemble.grain.seed), ensemble.reach
    light_s = reach.light_end_s - ensemble.grain.delay_s
    haste = reach.haste._replace(end_s=np.minimum(draws.pack_end_s, light_s))
    return replace(ensemble, sortie=other, draws=draws, reach=replace(reach, haste=haste))


def _other_pack(pack: PackSpec, name: str, sign: float) -> PackSpec:
    part = pack.box if name == "insulation_wpk" else pack
    known = getattr(part, name)
    other = replace(known, value=moved(known.value, known.sd, sign))
    if pack.box is not None and name == "insulation_wpk":
        return replace(pack, box=replace(pack.box, insulation_wpk=other))
    return (
        replace(pack, energy_wh=other) if name == "energy_wh" else replace(pack, cold_ratio=other)
    )


def link_off(ensemble: Ensemble, row: int, sign: float) -> Ensemble:
    """Return the ensemble with the whole budget of a link off by what it is doubted."""
    listening = ensemble.listening
    if listening is None:
        return ensemble
    near_db = listening.waves.near_db.copy()
    near_db[row] += sign * listening.waves.sd_db[row]
    waves = listening.waves._replace(near_db=near_db)
    return replace(ensemble, listening=replace(listening, waves=waves))


def manned_otherwise(ensemble: Ensemble, sortie: Sortie) -> Ensemble:
    """Return the ensemble with stands manned by the drives and the set-up of another sortie."""
    listening = ensemble.listening
    if listening is None:
        return replace(ensemble, sortie=sortie)
    ready = np.array([ready_s(sortie, stand) for stand in sortie.stands])
    return replace(ensemble, sortie=sortie, listening=replace(listening, ready_s=ready))


def reading_off(ensemble: Ensemble, sign: float) -> Ensemble:
    """Return the ensemble with a height that every crew reads off by one deviation more."""
    draws = ensemble.draws._replace(seen_normal=ensemble.draws.seen_normal + sign)
    return replace(ensemble, draws=draws)


def has_old_winds(ensemble: Ensemble) -> bool:
    """Tell whether the winds are doubted more, deep down, than near ones of an hour ago."""
    fresh = wind_doubt(Apart(age_s=_FRESH_S))
    return ensemble.air.column.doubt.deep_mps > fresh.deep_mps


def winds_off(ensemble: Ensemble, sign: float) -> Ensemble:
    """Return the ensemble in winds that are off along the drift, out and home, at every height.

    By one deviation of what the drawn errors come to over a whole climb: those of single heights
    average out.
    """
    swarm, axis = ensemble.draws.swarm, drift_axis_rad(ensemble)
    east, north = float(np.sin(axis)), float(np.cos(axis))
    top_m = float(np.nanmedian(ensemble.climbs.burst.amsl_m))
    below = ensemble.air.column.middles_amsl_m < (top_m if top_m == top_m else np.inf)
    along = east * swarm.out_east_mps[:, below] + north * swarm.out_north_mps[:, below]
    off_mps = sign * float(along.mean(axis=1).std())
    errors = {
        name: (getattr(swarm, name) + np.float32(off_mps * share)).astype(np.float32)
        for name, share in (
            ("out_east_mps", east),
            ("home_east_mps", east),
            ("out_north_mps", north),
            ("home_north_mps", north),
        )
    }
    other = replace(ensemble, draws=ensemble.draws._replace(swarm=swarm._replace(**errors)))
    return with_glider(with_balloon(other, other.sortie), other.sortie, other.grain)
