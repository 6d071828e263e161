"""Steering: which fields a loose glider still has, until when, and which of them to steer for."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.closing import falls_below_s
from farglide.chances.after.loose import Idle, Loose
from farglide.chances.ensemble import Ensemble
from farglide.chances.spells import state_of
from farglide.outlook.advice import FieldNow, Level
from farglide.outlook.after import BarrierAhead, Stage, StoryName
from farglide.outlook.ascent import Spread
from farglide.outlook.fields import State
from farglide.sortie.spec import Wish

CLEAR_RATIO: Final = 0.05
"""An earlier field of the crew's order must be so clearly open before one turns to it."""
LIKELIER_RATIO: Final = 0.1
"""And of two doubtful fields one so much likelier."""
AT_ONCE_S: Final = 60.0
SOON_S: Final = 600.0
LOW_AGL_M: Final = 600.0
"""Below this only the landing is left to decide: twice the usual arrival height."""


class Along(NamedTuple):
    """What becomes of all fields on some way: moments after the launch, and shares open then."""

    t_s: FloatArray  # (n_moments,)
    open_ratio: FloatArray  # (n_moments, n_fields)


class Weights(NamedTuple):
    """Chances of the stories that bring it anywhere: steered; tied on and coming free."""

    steered_ratio: float
    freed_ratio: float = 0.0


def fields_after(
    ensemble: Ensemble, loose: Loose, weights: Weights, along: Along | None
) -> tuple[FieldNow, ...]:
    """Return each field from here on. `along`: the way advised; None: not summed yet."""
    now_s = float(loose.idle[0].t_s[0])
    tied = loose.loosened.stage is Stage.TIED_ON
    if tied:
        along = Along(loose.idle[0].t_s, loose.idle[0].open_ratio)
    brought = weights.freed_ratio if tied else weights.steered_ratio
    wish, found = ensemble.sortie.wish, []
    for f, field in enumerate(ensemble.sortie.fields):
        open_ratio = float(loose.chances.open_ratio[0, f])
        now = state_of(open_ratio, wish)
        until_s, then = (None, None) if along is None else _next(along, f, now, wish, now_s)
        shuts = _shuts(loose.idle, f, wish.doubtful_ratio)
        found.append(
            FieldNow(
                name=field.name,
                state=now,
                chance_ratio=open_ratio * brought,
                open_ratio=open_ratio,
                until_after_launch_s=until_s,
                then=then,
                shuts_after_launch_s=None if shuts is None else shuts.t_s,
                shuts_amsl_m=None if shuts is None else shuts.amsl_m,
                shuts_story=None if shuts is None else shuts.story,
                arrival_agl_m=arrival_m(loose.spare_m[:, f]),
            )
        )
    return tuple(found)


class _Shuts(NamedTuple):
    t_s: float
    amsl_m: float
    story: StoryName


def _shuts(idle: Sequence[Idle], f: int, bound: float) -> _Shuts | None:
    """Return when a field shuts while nobody steers, the earliest of the stories that count."""
    found = []
    for one in idle:
        t_s = falls_below_s(one.t_s, one.open_ratio[:, f], bound)
        if t_s is not None:
            known = np.isfinite(one.amsl_m)
            amsl_m = float(np.interp(t_s, one.t_s[known], one.amsl_m[known]))
            found.append(_Shuts(t_s, amsl_m, one.story))
    return min(found, default=None)


def arrival_m(spare_m: FloatArray) -> Spread | None:
    """Return the most height over a field, a draw that does not reach it counting as the lowest.

    None where fewer than half do.
    """
    reached = np.isfinite(spare_m)
    if reached.mean() < 0.5:
        return None
    points = np.quantile(np.where(reached, spare_m, 0.0), [0.1, 0.5, 0.9])
    return Spread(p10=float(points[0]), p50=float(points[1]), p90=float(points[2]))


def _next(
    along: Along, f: int, now: State, wish: Wish, now_s: float
) -> tuple[float | None, State | None]:
    """Return when a field's state changes on a way, and to what; None where it does not."""
    later = along.t_s >= now_s
    t_s, ratio = along.t_s[later], along.open_ratio[later, f]
    if now != "shut" and len(t_s):
        bound = wish.open_ratio if now == "open" else wish.doubtful_ratio
        falls_s = falls_below_s(t_s, ratio, bound)
        if falls_s is not None:
            return falls_s, "doubtful" if now == "open" else "shut"
    for at_s, value in zip(t_s.tolist(), ratio.tolist(), strict=True):
        if (then := state_of(value, wish)) != now:
            return at_s, then
    return None, None


def steered_for(fields: Sequence[FieldNow], wish: Wish, was: str, bound_for: str = "") -> str:
    """Return the field to steer for, empty where none is worth it. `was`: the one advised last.

    The first open one in the crew's order. One advised stays while it is open, unless an earlier
    one is clearly so; a doubtful one stays while no other is open or much likelier. So nothing
    flickers, and what becomes worse is left at once. `bound_for`: where the crew says that it
    flies; while open it comes before all others, and in doubt it stays as one advised.
    """
    is_open = [one.name for one in fields if one.state == "open"]
    if bound_for in is_open:
        return bound_for
    if was in is_open:
        clear_ratio = wish.open_ratio + CLEAR_RATIO
        return next(one.name for one in fields if was == one.name or one.open_ratio >= clear_ratio)
    if is_open:
        return is_open[0]
    best = max(fields, key=lambda one: one.open_ratio, default=None)
    if best is None or best.open_ratio < wish.least_ratio:
        return ""
    kept = next((one for one in fields if one.name == (bound_for or was)), best)
    return kept.name if kept.open_ratio >= best.open_ratio - LIKELIER_RATIO else best.name


class Asks(NamedTuple):
    """What the level of an advice goes by, beside its fields."""

    stage: Stage
    is_marked: bool
    now_s: float
    agl_m: float  # over the field steered for, or over the lowest
    barrier: BarrierAhead | None


def level_after(asks: Asks, fields: Sequence[FieldNow], steered: str) -> Level:
    """Return how much is asked of the crew."""
    if asks.stage is Stage.TIED_ON:
        return Level.NOW
    if asks.stage is Stage.DROPPED:
        return Level.WATCH if asks.is_marked else Level.NOW
    if asks.stage is Stage.DOWN:
        return Level.DECIDE
    aim = next((one for one in fields if one.name == steered), None)
    if asks.stage is Stage.UNSTEERED:
        left_s = 0.0 if aim is None else _left_s(aim.shuts_after_launch_s, asks.now_s)
        return Level.NOW if left_s <= 2.0 * AT_ONCE_S else Level.DECIDE
    if asks.agl_m < LOW_AGL_M:
        return Level.DECIDE
    if aim is None or aim.state != "open":
        return Level.DECIDE
    closes_s = _left_s(aim.shuts_after_launch_s, asks.now_s)
    edge = asks.barrier
    back_s = _left_s(None if edge is None else edge.turn_back_until_after_launch_s, asks.now_s)
    if closes_s <= AT_ONCE_S:
        return Level.NOW
    if back_s <= AT_ONCE_S or closes_s <= 2.0 * AT_ONCE_S:
        return Level.DECIDE
    edge_s = _left_s(None if edge is None else edge.edge_after_launch_s, asks.now_s)
    return Level.WATCH if min(closes_s, back_s, edge_s) <= SOON_S else Level.QUIET


def _left_s(at_s: float | None, now_s: float) -> float:
    """Return how long until something; for ever until what is not to come, or is past."""
    return float("inf") if at_s is None or at_s < now_s else at_s - now_s
