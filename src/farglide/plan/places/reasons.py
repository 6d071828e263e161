"""Reasons: what keeps a field from being open, in a few words."""

import math
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray
from farglide.chances.chances import Chances, reached
from farglide.chances.ensemble import Ensemble, within_caps
from farglide.earth.geodesy import EastNorth
from farglide.outlook.fields import Cause, CauseKind
from farglide.sim.core.losses import LOSS_STEP_M, N_LOSS
from farglide.sim.core.release import Goals, field_offset
from farglide.sim.core.states import States
from farglide.sim.core.step import Offset, apart_m, layer_index
from farglide.sim.core.wind import mean_wind
from farglide.sortie.known import Tag
from farglide.sortie.spec import UNTESTED_SD_DB, Sortie

_BREEZE_MPS: Final = 8.0
_HIGHER_M: Final = tuple(500.0 * n for n in (1, 2, 3, 4, 6, 8, 10, 12, 16, 20, 24, 30))
_NEAR_M: Final = 500.0


class At(NamedTuple):
    """A field at one of some moments that were asked about: which one, and what was found."""

    field: int
    k: int
    states: States
    goals: Goals  # the field alone
    base: Chances

    @property
    def amsl_m(self) -> float:
        """Return the height of the release."""
        return float(self.base.amsl_m[self.k])


class _Wind(NamedTuple):
    """The wind that costs most on the way: what it is called, how fast, at what height."""

    name: str
    speed_mps: float
    amsl_m: float


def without_one(ensemble: Ensemble, amsl_m: float) -> CauseKind:
    """Return what is told of a height at which no single limit costs much."""
    if never_level(ensemble, amsl_m):
        return "drop"
    craft = ensemble.craft
    if amsl_m > craft.ceiling_amsl_m:
        return "mach"
    if within_caps(ensemble, np.array(amsl_m)):
        return "height"
    kinds: dict[CauseKind, str] = {"mach": "top_mach", "top_eas": "top_eas_mps"}
    for kind, name in kinds.items():
        freed = replace(craft, limits=craft.limits._replace(**{name: math.inf}))
        if within_caps(replace(ensemble, craft=freed), np.array(amsl_m)):
            return kind
    return "speeds"


def cause_of(ensemble: Ensemble, kind: CauseKind, at: At, saves_ratio: float) -> Cause:
    """Return a cause in words, as it is at a moment."""
    guess = _guess_words(ensemble.sortie, kind)
    words = f"{_words(ensemble, kind, at)}{guess}"
    return Cause(kind=kind, words=words, is_guess=bool(guess), saves_ratio=saves_ratio)


def _words(ensemble: Ensemble, kind: CauseKind, at: At) -> str:
    if kind in ("mach", "top_eas", "speeds"):
        return _speed_words(ensemble, kind, at.amsl_m)
    if kind == "drop":
        return "the glider never pulls out of its drop"
    if kind in ("packs", "light", "time"):
        dark = kind == "light" or (kind == "time" and ensemble.light_is_first)
        return "it gets dark first" if dark else "the packs end first"
    if kind == "stand":
        return _stand_words(ensemble, at)
    if kind in ("links", "command", "picture"):
        return _link_words(ensemble, kind, at)
    toward = _toward(ensemble, at)
    away_m = float(np.hypot(*toward))
    far = f"{away_m / 1e3:.0f} km from the field, " if away_m > _NEAR_M else ""
    if kind == "wind":
        wind = _wind(ensemble, at.amsl_m, _toward(ensemble, at, _misses(ensemble, at)))
        return f"{far}{wind.name} {wind.speed_mps:.0f} m/s at {wind.amsl_m / 1e3:.0f} km"
    missing_m = missing_height_m(ensemble, at)
    return f"{far}{'' if missing_m is None else f'{missing_m / 1e3:g} km '}too low"


def _guess_words(sortie: Sortie, kind: CauseKind) -> str:
    """Return that a limit is a guess, where it is one."""
    guessed = {key for key, tag in sortie.tags.items() if tag == Tag.GUESS}
    limits = {"mach": {"glider.top_mach"}, "top_eas": {"glider.top_eas_mps"}}
    limits["speeds"] = limits["mach"] | limits["top_eas"]
    if limits.get(kind, set()) & guessed:
        return ", a guess"
    names = ("energy_wh", "cold_ratio", "insulation_wpk")
    packs = {f"packs[{pack.name}].{name}" for pack in sortie.packs for name in names}
    if kind in ("packs", "time") and packs & guessed:
        return ", by a guess of what they hold"
    purposes = ("command", "picture") if kind == "links" else (kind,)
    links = [link for link in sortie.links if link.purpose in purposes]
    unproven = (one for one in links if one.tested is None and one.reached_m is None)
    if any(link.spread_db >= UNTESTED_SD_DB for link in unproven):
        return ", by a link budget that nobody tested"
    return ""


def _speed_words(ensemble: Ensemble, kind: CauseKind, amsl_m: float) -> str:
    """Return which speed limit it is, and whether already the pull-out passes it."""
    glider = ensemble.sortie.glider
    mach = f"the Mach limit of {round(glider.top_mach, 2):g}"
    eas = f"the top speed of {glider.top_eas_mps:.0f} m/s"
    limit = {"mach": mach, "top_eas": eas}.get(kind, f"{mach} or {eas}")
    if amsl_m > ensemble.craft.ceiling_amsl_m:
        return f"no speed fits between the stall and {mach}"
    if not within_caps(ensemble, np.array(amsl_m)):
        return f"the pull-out passes {limit}"
    return f"too slow, held back by {limit}"


def _stand_words(ensemble: Ensemble, at: At) -> str:
    """Return that nobody is where the links would hold, and from where alone they are heard."""
    holding = at.base.holding
    if holding is None or holding.stand[at.k, 0] < 0:
        return "no stand is manned yet"
    here = ensemble.sortie.stands[holding.stand[at.k, 0]].name
    lost = " and ".join(holding.purposes)
    lost += f" {'are' if len(holding.purposes) > 1 else 'is'} lost on the way"
    return f"no stand but {here} is manned yet, from where {lost}"


def _link_words(ensemble: Ensemble, kind: CauseKind, at: At) -> str:
    """Return which link does not hold, and from where."""
    holding = at.base.holding
    if holding is None:
        return "links lost on the way"
    lost = kind if kind != "links" else " and ".join(holding.purposes)
    stand = ensemble.sortie.stands[holding.stand[at.k, 0]].name
    return f"{lost} lost on the way for a crew at {stand}"


def never_level(ensemble: Ensemble, amsl_m: float) -> bool:
    """Tell whether a drop from a height comes level in less than half of the draws."""
    above_m = amsl_m - ensemble.air.column.layers.base_amsl_m
    step = min(max(above_m / LOSS_STEP_M, 0.0), N_LOSS - 1.0)
    nodes = ensemble.reach.losses.lost_m[:, [math.floor(step), math.ceil(step)]]
    return bool(np.isnan(nodes).any(axis=1).mean() > 0.5)


def missing_height_m(ensemble: Ensemble, at: At) -> float | None:
    """Return how much higher over the same places the field would be open by height alone.

    The least of some steps; None where none of them is enough.
    """
    top_m = float(ensemble.air.column.edges_amsl_m[-1]) - 1.0
    one = States._make(each[:, at.k : at.k + 1] for each in at.states)
    n = len(_HIGHER_M)
    many = States._make(np.repeat(each, n, axis=1) for each in one)
    higher = many._replace(amsl_m=np.minimum(many.amsl_m + np.array(_HIGHER_M), top_m))
    by_height, _ = reached(ensemble, higher, at.goals)
    flying = ~np.isnan(one.amsl_m[:, 0])
    share = by_height[flying, :, 0].mean(axis=0) if flying.any() else np.zeros(n)
    enough = np.flatnonzero(share >= ensemble.sortie.wish.open_ratio)
    return _HIGHER_M[enough[0]] if len(enough) else None


def is_calm(ensemble: Ensemble, amsl_m: float) -> bool:
    """Tell whether no wind below a height is worth a word."""
    layers = ensemble.air.column.layers
    n_below = layer_index(layers, amsl_m) + 1
    speed_mps = np.hypot(layers.u_mps, layers.v_mps)[..., :n_below]
    return bool(speed_mps.max() < _BREEZE_MPS)


def _misses(ensemble: Ensemble, at: At) -> BoolArray:
    """Return the draws that fly and do not reach the field by height; all that fly if none."""
    one = States._make(np.ascontiguousarray(each[:, at.k : at.k + 1]) for each in at.states)
    flying = ~np.isnan(one.amsl_m[:, 0])
    missing = flying & ~reached(ensemble, one, at.goals)[0][:, 0, 0]
    return missing if missing.any() else flying


def _toward(ensemble: Ensemble, at: At, draws: BoolArray | slice = slice(None)) -> EastNorth:
    """Return metres east and north from the median release of some draws to the field."""
    north, east = (
        float(np.nanmedian(one[draws, at.k])) for one in (at.states.north_rad, at.states.east_rad)
    )
    return apart_m(ensemble.air.scene.frame, Offset(north, east), field_offset(at.goals, 0))


def _wind(ensemble: Ensemble, amsl_m: float, toward: EastNorth) -> _Wind:
    """Return the strongest head wind below a height on the way somewhere; else what blows most."""
    air, away_m = ensemble.air, max(float(np.hypot(*toward)), 1.0)
    n_below = layer_index(air.column.layers, amsl_m) + 1
    heights = air.column.middles_amsl_m[:n_below]
    winds = [mean_wind(air.scene, height_m) for height_m in heights.tolist()]
    u, v = (
        np.array(one) for one in zip(*((wind.u_mps, wind.v_mps) for wind in winds), strict=True)
    )
    head = -(u * toward.east_m + v * toward.north_m) / away_m
    across = np.abs(u * toward.north_m - v * toward.east_m) / away_m
    for name, speeds in (("head wind", head), ("cross wind", across)):
        if speeds.max() >= _BREEZE_MPS:
            k = int(np.argmax(speeds))
            return _Wind(name, float(speeds[k]), float(heights[k]))
    speeds = np.hypot(u, v)
    k = int(np.argmax(speeds))
    return _Wind("wind", float(speeds[k]), float(heights[k]))
