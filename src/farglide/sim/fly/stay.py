"""Stay: the whole way down over one place, held there by legs into the wind: how long, how far."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import BoolArray, FloatArray
from farglide.glider.polar import Winds, _best_eas
from farglide.kernel import compiled, inner
from farglide.sim.core.march import cell_below, is_above
from farglide.sim.core.scene import Scene, check_in_air
from farglide.sim.core.step import Errors
from farglide.sim.core.tracks import Point
from farglide.sim.core.wind import no_errors, wind_at
from farglide.sim.fly.homing import OVER_M, Goal, Homer, home_layer, is_over, line_home
from farglide.sim.fly.over import Held, LayerGlider, Turn, circle_of, held_in, held_on, leg_ratio
from farglide.sim.reach.drawnglider import DrawnGlider, glide_air, speed_band
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.speeds import Speeds

_MOST_TIMES: Final = 12  # rows a layer: where it is set aside on its way back, it turns in eighths


class Flyer(NamedTuple):
    """One glider that flies its height off, and the speeds at which it would fly back."""

    craft: DrawnGlider
    speeds: Speeds


class Stay(NamedTuple):
    """A way down over one place as rows from the top down; the last row is its end."""

    after_s: FloatArray
    amsl_m: FloatArray
    away_m: FloatArray  # farthest from the place in the layer below
    legs_ratio: FloatArray  # share of the time flown straight into the wind there
    set_back_mps: FloatArray  # by what even the fastest level speed does not hold against

    @property
    def seconds(self) -> float:
        """Return how long it takes."""
        return float(self.after_s[-1])

    @property
    def farthest_m(self) -> float:
        """Return the farthest that it gets from the place."""
        return float(self.away_m.max())

    @property
    def comes_back(self) -> bool:
        """Return whether it ends over the place, blown off or not on its way."""
        return bool(self.away_m[-1] < OVER_M)

    def between_m(self, rows: BoolArray) -> tuple[float, float] | None:
        """Return the top of the first and the bottom of the last layer of some; None for none."""
        found = np.flatnonzero(rows[:-1])
        return (
            (float(self.amsl_m[found[0]]), float(self.amsl_m[found[-1] + 1]))
            if len(found)
            else None
        )


@inner
def _turn_in(scene: Scene, craft: DrawnGlider, turn: Turn, k: int) -> Turn:
    """Return a turn in a layer: one without a speed at that of the flattest glide there."""
    if turn.eas_mps > 0.0 or turn.sink_eas_mps > 0.0:
        return turn
    air = glide_air(scene.layers, k)
    band = speed_band(craft.polar, craft.limits, scene.layers, k)
    eas = _best_eas(craft.polar, air, band, craft.glide_factor, Winds(0.0, 0.0, 0.0, 0.0))
    return Turn(eas, turn.load, 0.0)


@inner
def _put_row(rows: FloatArray, n: int, at: Point, away_m: float, legs: float, back: float) -> None:
    rows[n, 0], rows[n, 1], rows[n, 2] = at.t_s, at.amsl_m, away_m
    rows[n, 3], rows[n, 4] = legs, back


@compiled
def _stay(
    scene: Scene, errors: Errors, flyer: Flyer, turn: Turn, descent: Descent, rows: FloatArray
) -> int:
    """Fill rows of time, height, metres away, share of legs and set-back, and return how many."""
    (polar, _, factor), layers = flyer.craft, scene.layers
    homer, goal = Homer(polar, factor, flyer.speeds, 0), Goal(0.0, 0.0, descent.to_amsl_m, 1.0, 0.0)
    at, n, over = Point(0.0, descent.from_amsl_m, 0.0, 0.0), 0, True
    while is_above(at, descent.to_amsl_m) and n < rows.shape[0] - 1:
        here, k, was_m = at, cell_below(scene, at).layer, line_home(scene, at, goal).away_m
        wind = wind_at(scene, errors, cell_below(scene, at))
        wind_mps = np.sqrt(wind.u_mps * wind.u_mps + wind.v_mps * wind.v_mps)
        legs, off_m, held = 1.0, 0.0, Held(0.0, 0.0)
        if over:
            own, fastest_mps = _turn_in(scene, flyer.craft, turn, k), flyer.speeds.fastest_mps[k]
            glider = LayerGlider(polar, glide_air(layers, k), factor)
            circle = circle_of(glider, own)
            held = held_in(glider, circle, wind_mps, fastest_mps)
            legs = leg_ratio(glider, circle, wind_mps, fastest_mps)
            at = held_on(scene, errors, homer, own, here, descent.to_amsl_m)
            off_m = (1.0 - legs) * wind_mps * (at.t_s - here.t_s)
            over = is_over(scene, at, goal)
        else:
            at, over = home_layer(scene, errors, homer, goal, here)
        away_m = max(was_m, line_home(scene, at, goal).away_m) + off_m
        _put_row(rows, n, here, away_m, legs, held.set_back_mps)
        n += 1
    _put_row(rows, n, at, line_home(scene, at, goal).away_m, 0.0, 0.0)
    return n + 1


def stay_over(scene: Scene, flyer: Flyer, descent: Descent, turn: Turn) -> Stay:
    """Return the error-free way down from over a place, in one way of turning.

    In each layer it circles first and wins the drift back by a leg into the wind. Blown off farther
    than 500 m by a wind that it cannot hold against, it flies straight back at its best speeds.
    Valid: heights inside the column; the wind of each layer the same all around.
    Source: distances alone, share of legs = wind / level speed; docs/reach.rst, "Holding".
    """
    check_in_air(scene, "to_amsl_m", descent.to_amsl_m)
    rows = np.empty((_MOST_TIMES * len(scene.layers.rho_kgpm3) + 2, 5))
    down = Descent(float(descent.from_amsl_m), float(descent.to_amsl_m))
    n = _stay(scene, no_errors(scene), flyer, turn, down, rows)
    return Stay(*(np.ascontiguousarray(rows[:n, j]) for j in range(5)))
