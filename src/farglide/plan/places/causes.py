"""Causes: which limit keeps a field from being open, the one that alone costs most draws."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.chances.chances import Chances, chances_in
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import let_go, rules_like
from farglide.outlook.fields import Cause, CauseKind
from farglide.plan.places.limits import GROUPS, Group, Limit, without
from farglide.plan.places.reasons import At, cause_of, is_calm, without_one
from farglide.sim.core.release import Goals
from farglide.sim.core.states import States

_N_ASKED: Final = 5
"""Moments of a stretch that are asked about."""
_COUNTS_RATIO: Final = 0.1
"""A limit that costs fewer draws is no cause, unless it costs half of those that are missing."""
_HALF: Final = 0.5
_PART_RATIO: Final = 0.3
"""A cause that holds over a smaller part of a stretch is not told."""
_FELT: Final = 0.02
_LINKS: Final = ("links", "command", "picture")


class Stretch(NamedTuple):
    """Moments of the chances over which a field is not open: the first, and one past the last."""

    field: int
    first: int
    past: int


class _Asked(NamedTuple):
    """Some moments of one stretch, and what is open then as it is."""

    stretch: Stretch
    moments: IntArray
    states: States
    goals: Goals
    base: Chances


class _Saved(NamedTuple):
    """What takes away most at each moment of a stretch, "" for nothing, and how many draws."""

    kinds: list[str]
    ratio: FloatArray


def causes(
    coarse: Ensemble, chances: Chances, stretches: Sequence[Stretch]
) -> list[tuple[Cause, ...]]:
    """Return for each stretch what keeps its field from being open, one cause after the other.

    `coarse`: draws with tables of reach, asked again with one limit after the other taken away;
    `chances`: those that the stretches are of. The cause is the limit without which most more
    draws have the field open: a tenth of all, or half of those missing. With none it is the height.
    """
    asked = [_asked(coarse, chances, one) for one in stretches]
    saved = [_Saved([""] * len(one.moments), np.zeros(len(one.moments))) for one in asked]
    for group in GROUPS:
        _ask(coarse, group, asked, saved)
    for one, found in zip(asked, saved, strict=True):
        _forget_small(one, found)
    for group, limits in GROUPS.items():
        if len(limits) > 1:
            _part(coarse, group, asked, saved)
    _man(coarse, asked, saved)
    return [_told(coarse, one, found) for one, found in zip(asked, saved, strict=True)]


def _man(coarse: Ensemble, asked: Sequence[_Asked], saved: Sequence[_Saved]) -> None:
    """Put the stands in place of the links where those would hold from one not manned yet."""
    listening = coarse.listening
    rows = [row for row, found in enumerate(saved) if set(_LINKS) & set(found.kinds)]
    if listening is None or not rows or not listening.ready_s.any():
        return
    at_once = replace(listening, ready_s=np.zeros_like(listening.ready_s))
    freed = replace(coarse, listening=at_once)
    for row in rows:
        found = saved[row]
        for k, gain in enumerate(_gains(freed, asked[row]).tolist()):
            if found.kinds[k] in _LINKS and gain > max(_HALF * found.ratio[k], _FELT):
                found.kinds[k] = "stand"


def _asked(coarse: Ensemble, chances: Chances, stretch: Stretch) -> _Asked:
    field, first, past = stretch
    n = min(_N_ASKED, past - first)
    moments = first + ((np.arange(n) + 0.5) * (past - first) / n).astype(np.int64)
    states = let_go(coarse, rules_like(chances, moments))
    goals = Goals(*(one[field : field + 1] for one in coarse.goals))
    return _Asked(stretch, moments, states, goals, chances_in(coarse, states, goals))


def _is_needed(coarse: Ensemble, group: Group, one: _Asked) -> bool:
    """Tell whether a limit of a group can keep any draw from the field."""
    reach, timely, is_open = (
        ratio[:, 0] for ratio in (one.base.reach_ratio, one.base.timely_ratio, one.base.open_ratio)
    )
    if group == "time":
        return bool((reach - timely > _FELT).any())
    if group == "links":
        return coarse.listening is not None and bool((timely - is_open > _FELT).any())
    return bool((timely < 1.0 - _FELT).any())


def _gains(freed: Ensemble, one: _Asked) -> FloatArray:
    """Return the share of draws that have the field open only without a limit."""
    share = chances_in(freed, one.states, one.goals).open_ratio[:, 0]
    return np.asarray(share - one.base.open_ratio[:, 0])


def _ask(coarse: Ensemble, group: Group, asked: Sequence[_Asked], saved: Sequence[_Saved]) -> None:
    """Write down where the limits of a group, together, cost more than all asked before."""
    rows = [row for row, one in enumerate(asked) if _is_needed(coarse, group, one)]
    if not rows:
        return
    freed = without(coarse, GROUPS[group])
    for row in rows:
        for k, gain in enumerate(_gains(freed, asked[row]).tolist()):
            if gain > saved[row].ratio[k]:
                saved[row].kinds[k], saved[row].ratio[k] = group, gain


def _forget_small(one: _Asked, found: _Saved) -> None:
    """Take out what costs too little, and put in what stands in the way with something else."""
    base = one.base
    missing = 1.0 - base.open_ratio[:, 0]
    for k in range(len(found.kinds)):
        if found.ratio[k] < min(_COUNTS_RATIO, _HALF * missing[k]):
            found.kinds[k], found.ratio[k] = "", 0.0
        if found.kinds[k]:
            continue
        if base.reach_ratio[k, 0] - base.timely_ratio[k, 0] > _COUNTS_RATIO:
            found.kinds[k] = "time"
        elif base.timely_ratio[k, 0] - base.open_ratio[k, 0] > _COUNTS_RATIO:
            found.kinds[k] = "links"


def _part(coarse: Ensemble, group: Group, asked: Sequence[_Asked], saved: Sequence[_Saved]) -> None:
    """Put in place of a group the limit of it that alone costs half of what they cost together.

    Of two that do the one that costs more; where none does, the group stays.
    """
    rows = [row for row, found in enumerate(saved) if group in found.kinds]
    if not rows:
        return
    most = [_HALF * found.ratio for found in saved]
    names: list[list[str]] = [[group] * len(found.kinds) for found in saved]
    for limit in _members(coarse, group):
        freed = without(coarse, (limit,))
        for row in rows:
            for k, gain in enumerate(_gains(freed, asked[row]).tolist()):
                if gain > _FELT and gain >= most[row][k]:
                    most[row][k], names[row][k] = gain, limit
    for row in rows:
        kinds = saved[row].kinds
        for k in [k for k, kind in enumerate(kinds) if kind == group]:
            kinds[k] = names[row][k]
            if kinds[k] != group:
                saved[row].ratio[k] = most[row][k]


def _members(coarse: Ensemble, group: Group) -> tuple[Limit, ...]:
    """Return the limits of a group that there are."""
    if group != "links" or coarse.listening is None:
        return GROUPS[group]
    return tuple(one for one in GROUPS[group] if one in coarse.listening.needed)


def _told(coarse: Ensemble, one: _Asked, found: _Saved) -> tuple[Cause, ...]:
    """Return the causes of a stretch in the order of time, each as in the middle of its part."""
    kinds = [_named(coarse, one, found, k) for k in range(len(found.kinds))]
    parts = {kind: [k for k, other in enumerate(kinds) if other == kind] for kind in kinds}
    largest = max(len(part) for part in parts.values())
    told = []
    for kind, part in parts.items():
        if len(part) < largest and len(part) < _PART_RATIO * len(kinds):
            continue
        k = part[(len(part) - 1) // 2]
        at = At(one.stretch.field, k, one.states, one.goals, one.base)
        told.append(cause_of(coarse, kind, at, float(found.ratio[k])))
    return tuple(told)


def _named(coarse: Ensemble, one: _Asked, found: _Saved, k: int) -> CauseKind:
    kind = found.kinds[k]
    if not kind:
        return without_one(coarse, float(one.base.amsl_m[k]))
    holding = one.base.holding
    if kind in _LINKS and holding is not None and holding.stand[k, 0] < 0:
        return "stand"
    if kind == "wind" and is_calm(coarse, float(one.base.amsl_m[k])):
        return "height"
    return kind  # type: ignore[return-value]
