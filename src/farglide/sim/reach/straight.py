"""Straight: how far a glider gets on a straight track over the ground, for every bearing.

On a bearing, with the wind a along it and c across, a layer gives (sqrt(V_h^2 - c^2) + a - q) / s
per metre of height at a price q of a second: the glider crabs. The bearing stays the same all the
way, so that the layers add up; a table keeps the sums from the ground up.
"""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, SingleArray
from farglide.earth.geodesy import EastNorth
from farglide.glider.polar import EasBand
from farglide.kernel import inner, laned, merged, roomy
from farglide.sim.core.draws import Drawn
from farglide.sim.core.scene import Scene, Swarm, _errors_home
from farglide.sim.core.wind import Wind, cell_in, slab_wind
from farglide.sim.core.workers import Stretch, Workers, in_one_go
from farglide.sim.reach.bearings import EAST, N_BEARING, NORTH, Line, ahead_on, line_to, turned
from farglide.sim.reach.drawnglider import glide_air
from farglide.sim.reach.glides import Glides
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.speeds import CRAB_RATIO, kept_track

LEAST_SINK_RATIO: Final = 0.2
"""Rising air takes at most four fifths of the sink: a parcel that rises faster is soon left."""
_NONE_M: Final = 1e9


class Straight(NamedTuple):
    """Metres made good on each bearing from the lowest layer edge up to every n-th edge.

    The table of draw i at price j stands in row j * n_draws + i. Where the cross wind beats every
    speed allowed a glider is set aside: what the wind along then gives is summed, as if it were
    not, and the layers are marked.
    """

    base_amsl_m: float
    step_m: float
    made_m: SingleArray  # (n_rows, n_edges, N_BEARING)
    beaten_amsl_m: SingleArray  # (n_draws, N_BEARING, 2) from where to where it is set aside
    aside_m: SingleArray  # (n_draws, N_BEARING) how far it is set aside in all


class MadeGood(NamedTuple):
    """How far a place is, and how far on its bearing and on the opposite one a glide gets."""

    away_m: float
    ahead_m: float
    back_m: float
    beaten: bool  # a cross wind sets it aside: the sums do not hold, it has to be flown

    @property
    def inside_m(self) -> float:
        """Return how far inside what can be made good the place lies; negative is out of reach."""
        return min(self.ahead_m - self.away_m, self.back_m + self.away_m)


class _Air(NamedTuple):
    """One layer's wind, what a second costs in it, and how thick it is over the ground."""

    wind: Wind
    price_mps: float
    metres: float


@inner
def _chased(
    scene: Scene, glides: Glides, q: int, k: int, b: int, factor: float, air: _Air
) -> tuple[float, float]:
    """Return what a layer gives on a bearing where the cross wind asks for more speed, and how far
    it sets the glider aside."""
    across = air.wind.v_mps * EAST[b] - air.wind.u_mps * NORTH[b]
    along = air.wind.u_mps * EAST[b] + air.wind.v_mps * NORTH[b] - air.price_mps
    speeds = glides.speeds
    band = EasBand(np.float64(speeds.eas_mps[glides.first_row + q, k, b]), speeds.fastest_mps[k])
    kept = kept_track(glides.craft.polar, glide_air(scene.layers, k), factor, across, band)
    left = max(kept.level_mps * kept.level_mps - across * across, 0.0)
    sink = max(kept.sink_mps - air.wind.up_mps, LEAST_SINK_RATIO * kept.sink_mps)
    return air.metres * (np.sqrt(left) + along) / sink, air.metres * abs(kept.across_mps) / sink


@laned
def _sum_some(
    scene: Scene,
    glides: Glides,
    swarm: Swarm,
    glide_factor: FloatArray,
    some: Stretch,
    out: Straight,
) -> None:
    """Fill rows `some`."""
    layers, speeds, (thick, kept) = scene.layers, glides.speeds, glides.slabs
    n_draws, n_slabs = len(glide_factor), glides.level2.shape[1]
    total, gained = np.empty(N_BEARING, np.float32), np.empty(N_BEARING, np.float32)
    pressed = np.empty(N_BEARING, np.float32)
    zero, one = np.float32(0.0), np.float32(1.0)
    bound = np.float32(1.0 - CRAB_RATIO * CRAB_RATIO)
    for row in range(some.first, some.last):
        i, q = row % n_draws, row // n_draws
        errors, factor = _errors_home(swarm, i), glide_factor[i]
        x = (factor - glides.first_factor) / glides.step_factor
        x = min(max(x, 0.0), glides.level2.shape[2] - 1.000001)
        f = int(x)
        w = np.float32(x - f)
        total[:] = zero
        out.made_m[row, 0] = zero
        if q == 0:
            out.beaten_amsl_m[i, :, 0], out.beaten_amsl_m[i, :, 1] = _NONE_M, -_NONE_M
            out.aside_m[i] = zero
        for s in range(n_slabs):
            k = s * thick + thick // 2
            wind = slab_wind(scene, errors, cell_in(k), thick)
            ground = layers.shortening_ratio[k]
            # A second costs metres over the ground; those flown up here count for less down there.
            price_mps = speeds.price_mps[glides.first_row + q] / ground
            metres = thick * layers.step_m * ground
            u, v, up = np.float32(wind.u_mps), np.float32(wind.v_mps), np.float32(wind.up_mps)
            price, thick_m = np.float32(price_mps), np.float32(metres)
            level_a, level_b = glides.level2[q, s, f], glides.level2[q, s, f + 1]
            sink_a, sink_b = glides.per_sink[q, s, f], glides.per_sink[q, s, f + 1]
            for b in range(N_BEARING):
                across = v * EAST[b] - u * NORTH[b]
                along = u * EAST[b] + v * NORTH[b] - price
                level2 = level_a[b] + w * (level_b[b] - level_a[b])
                per_sink = sink_a[b] + w * (sink_b[b] - sink_a[b])
                left = level2 - across * across
                root = np.sqrt(left if left > zero else zero)
                slower = one - up * per_sink
                slower = (
                    slower
                    if slower > np.float32(LEAST_SINK_RATIO)
                    else np.float32(LEAST_SINK_RATIO)
                )
                gained[b] = thick_m * (root + along) * per_sink / slower
                pressed[b] = bound * level2 - left
            worst = pressed[0]
            for b in range(1, N_BEARING):
                worst = pressed[b] if pressed[b] > worst else worst
            if worst > zero:
                air = _Air(wind, price_mps, metres)
                for b in range(N_BEARING):
                    if pressed[b] > zero:
                        gained[b], aside_m = _chased(scene, glides, q, k, b, factor, air)
                        if aside_m > 0.0 and q == 0:
                            out.aside_m[i, b] += np.float32(aside_m)
                            low_m = layers.base_amsl_m + s * thick * layers.step_m
                            out.beaten_amsl_m[i, b, 0] = min(out.beaten_amsl_m[i, b, 0], low_m)
                            out.beaten_amsl_m[i, b, 1] = low_m + thick * layers.step_m
            for b in range(N_BEARING):
                total[b] += gained[b]
            if (s + 1) % kept == 0:
                out.made_m[row, (s + 1) // kept] = total


def sum_straight(
    scene: Scene, glides: Glides, drawn: Drawn, workers: Workers = in_one_go
) -> Straight:
    """Return the tables of all draws at each price of the glides."""
    swarm, factor, (thick, kept) = drawn.swarm, drawn.glide_factor, glides.slabs
    n = len(factor) * glides.level2.shape[0]
    made_m = np.empty((n, glides.level2.shape[1] // kept + 1, N_BEARING), np.float32)
    beaten_m = np.empty((len(factor), N_BEARING, 2), np.float32)
    step_m = scene.layers.step_m * thick * kept
    aside_m = np.empty((len(factor), N_BEARING), np.float32)
    out = Straight(scene.layers.base_amsl_m, step_m, made_m, beaten_m, aside_m)
    workers(lambda a, b: _sum_some(scene, glides, swarm, factor, Stretch(a, b), out), n)
    return out


@merged
def fill_row(straight: Straight, row: int, amsl_m: float, out: SingleArray) -> None:
    """Fill `out` with a row's metres on each bearing from the base up to a height."""
    x = (amsl_m - straight.base_amsl_m) / straight.step_m
    x = min(max(x, 0.0), straight.made_m.shape[1] - 1.000001)
    k = int(x)
    w = np.float32(x - k)
    low, high = straight.made_m[row, k], straight.made_m[row, k + 1]
    for b in range(N_BEARING):
        out[b] = low[b] + w * (high[b] - low[b])


@merged
def is_beaten(straight: Straight, i: int, line: Line, descent: Descent) -> bool:
    """Tell whether a draw is set aside on its way along a line, or close to it, in a descent."""
    for b in (line.first, (line.first + 1) % N_BEARING):
        low_m, high_m = straight.beaten_amsl_m[i, b, 0], straight.beaten_amsl_m[i, b, 1]
        if low_m < descent.from_amsl_m and high_m > descent.to_amsl_m:
            return True
    return False


@roomy
def _made_good(straight: Straight, row: int, descent: Descent, away: EastNorth) -> MadeGood:
    high, low = np.empty(N_BEARING, np.float32), np.empty(N_BEARING, np.float32)
    fill_row(straight, row, descent.from_amsl_m, high)
    fill_row(straight, row, descent.to_amsl_m, low)
    line = line_to(away.east_m, away.north_m)
    beaten = is_beaten(straight, row % len(straight.beaten_amsl_m), line, descent)
    ahead_m, back_m = ahead_on(line, high, low), ahead_on(turned(line), high, low)
    return MadeGood(line.away_m, ahead_m, back_m, beaten)


def made_good(straight: Straight, descent: Descent, away: EastNorth, row: int = 0) -> MadeGood:
    """Return what a glide between two heights makes good on the bearing of a place."""
    away_m, ahead_m, back_m, beaten = _made_good(straight, row, descent, away)
    return MadeGood(float(away_m), float(ahead_m), float(back_m), bool(beaten))
