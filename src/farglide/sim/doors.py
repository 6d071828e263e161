"""Doors: for every draw, moment and field, whether a glider released then can come down there."""

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.air.column import Layers
from farglide.glider.polar import Polar
from farglide.glider.release import Drop, _pull_out
from farglide.kernel import compiled, inlined
from farglide.sim.climb import Scene, Swarm, Tracks, _errors
from farglide.sim.reach import Reach
from farglide.sim.rose import COARSE, FINE, LANES, Rose, _along, _margin, _support_at
from farglide.sim.spread import Spread, in_one_go
from farglide.sim.step import _apart, _layer_index, _moved, _wind

FloatArray = NDArray[np.float64]
ByteArray = NDArray[np.uint8]

REACHED: Final = 1
"""In reach by height, and the field can be held down to the ground."""
IN_TIME: Final = 2
"""In reach before packs and light end."""
LOSS_STEP_M: Final = 5000.0
N_LOSS: Final = 9


class Losses(NamedTuple):
    """What the drop costs each draw, every 5 km from the base, shape (n_draws, N_LOSS)."""

    lost_m: FloatArray
    elapsed_s: FloatArray


class Goals(NamedTuple):
    """The fields as the kernels read them, shape (n_fields,)."""

    north_rad: FloatArray
    east_rad: FloatArray
    ground_amsl_m: FloatArray
    arrival_amsl_m: FloatArray


class Ways(NamedTuple):
    """Reach tables at price 0 and at rising prices of time, all draws."""

    free: Reach
    priced: Reach  # row j * n_draws + i: price j, draw i
    price_mps: FloatArray


class Haste(NamedTuple):
    """When each draw's flight must have arrived, seconds after the launch, shape (n_draws,)."""

    end_s: FloatArray
    heading_s: FloatArray  # flown before the way home is known
    heading_sink_eas_mps: float


@compiled
def _loss_some(
    layers: Layers,
    craft: tuple[Polar, Drop],
    varied: tuple[FloatArray, FloatArray],
    glide_eas_mps: float,
    some: tuple[int, int],
    out: Losses,
) -> None:
    polar, drop = craft
    glide_factor, drop_drag = varied
    for i in range(some[0], some[1]):
        own = Drop(drop_drag[i], drop.pull_eas_mps, drop.pull_load, drop.level_angle_rad)
        for j in range(N_LOSS):
            amsl_m = layers.base_amsl_m + max(j * LOSS_STEP_M, 400.0)
            result = _pull_out((polar, own, glide_factor[i]), layers, amsl_m, glide_eas_mps)
            out.lost_m[i, j], out.elapsed_s[i, j] = result.level_lost_m, result.level_s


def drop_losses(
    layers: Layers,
    craft: tuple[Polar, Drop],
    varied: tuple[FloatArray, FloatArray],
    glide_eas_mps: float,
    spread: Spread = in_one_go,
) -> Losses:
    """Return height and time from the drop to level flight for all draws.

    `varied`: glide factors and drag coefficients of the falling glider, one a draw.
    """
    n = len(varied[0])
    out = Losses(np.empty((n, N_LOSS)), np.empty((n, N_LOSS)))
    spread(lambda a, b: _loss_some(layers, craft, varied, glide_eas_mps, (a, b), out), n)
    return out


@inlined
def _loss_at(losses: Losses, i: int, above_m: float) -> tuple[float, float]:
    """Return height and time lost; both grow about as the inverse density, so by equal shares."""
    x = min(max(above_m / LOSS_STEP_M, 0.0), N_LOSS - 1.000001)
    j = int(x)
    w = x - j
    lost_m, elapsed_s = losses.lost_m, losses.elapsed_s
    return (
        lost_m[i, j] * (lost_m[i, j + 1] / lost_m[i, j]) ** w,
        elapsed_s[i, j] * (elapsed_s[i, j + 1] / elapsed_s[i, j]) ** w,
    )


@compiled
def _begin(
    scene: Scene,
    swarm: Swarm,
    losses: Losses,
    haste: Haste,
    draw_at: tuple[int, float, float, float],
) -> tuple[float, float, float, float]:
    """Return height, north, east and seconds when the glider is level and knows its way."""
    i, z, north, east = draw_at
    layers = scene.layers
    lost_m, seconds = _loss_at(losses, i, z - layers.base_amsl_m)
    k = _layer_index(layers, z - lost_m)
    lost_m += haste.heading_s[i] * haste.heading_sink_eas_mps * layers.tas_per_eas[k]
    seconds += haste.heading_s[i]
    u, v = _wind(layers, scene.knots, _errors(swarm, i), (0, k))
    ground = layers.shortening_ratio[k] * seconds
    north, east = _moved(scene.frame, (north, east), u * ground, v * ground)
    return z - lost_m, north, east, seconds


class Floors(NamedTuple):
    """What the reach tables say at the fields themselves: the same for every question."""

    free: NDArray[np.float32]  # (n_draws, n_fields, 72) at the arrival height
    priced: NDArray[np.float32]  # (n_prices, n_draws, n_fields, 40)
    held: NDArray[np.bool_]  # (n_draws, n_fields) holdable from the arrival height to the ground


@compiled
def _floors_some(
    ways: tuple[Ways, Rose, Rose], goals: Goals, some: tuple[int, int], out: Floors
) -> None:
    (free, priced, _), fine, coarse = ways
    ground, still = np.empty_like(fine.east), np.zeros_like(fine.east)
    lanes = np.empty(LANES, np.float32)
    n_draws = out.free.shape[0]
    for i in range(some[0], some[1]):
        for f in range(len(goals.north_rad)):
            arrival_m = goals.arrival_amsl_m[f]
            _support_at(free, i, arrival_m, fine, out.free[i, f])
            _support_at(free, i, goals.ground_amsl_m[f], fine, ground)
            out.held[i, f] = _margin(out.free[i, f], ground, still, lanes) >= 0.0
            for q in range(out.priced.shape[0]):
                _support_at(priced, q * n_draws + i, arrival_m, coarse, out.priced[q, i, f])


def floors_of(ways: Ways, goals: Goals, spread: Spread = in_one_go) -> Floors:
    """Return the floors of all draws at these fields."""
    n, n_fields = ways.free.series.shape[0], len(goals.north_rad)
    out = Floors(
        np.empty((n, n_fields, len(FINE.east)), np.float32),
        np.empty((len(ways.price_mps), n, n_fields, len(COARSE.east)), np.float32),
        np.zeros((n, n_fields), np.bool_),
    )
    roses = (ways, FINE, COARSE)
    spread(lambda a, b: _floors_some(roses, goals, (a, b), out), n)
    return out


@compiled
def _doors_some(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    tracks: tuple[Tracks, NDArray[np.int64]],
    ways: tuple[Ways, Rose, Rose],
    goals: tuple[Goals, Floors],
    some: tuple[int, int],
    out: tuple[ByteArray, FloatArray],
) -> None:
    """Fill the doors of draws `some` at the chosen moments. Roses: for free and priced reach."""
    swarm, losses, haste = drawn
    climbs, moments = tracks
    (free, priced, prices), fine, coarse = ways
    fields, floors = goals
    n_prices, n_draws = len(prices), len(haste.end_s)
    high, along = np.empty_like(fine.east), np.empty_like(fine.east)
    high_priced = np.empty((n_prices, len(coarse.east)), np.float32)
    along_coarse, lanes = np.empty_like(coarse.east), np.empty(LANES, np.float32)
    for i in range(some[0], some[1]):
        for j in range(len(moments)):
            z = climbs.amsl_m[i, moments[j]]
            if np.isnan(z):
                continue
            at = (i, z, climbs.north_rad[i, moments[j]], climbs.east_rad[i, moments[j]])
            z, north, east, seconds = _begin(scene, swarm, losses, haste, at)
            _support_at(free, i, z, fine, high)
            left_s = haste.end_s[i] - moments[j] * climbs.step_s - seconds
            filled = False
            for f in range(len(fields.north_rad)):
                d_east, d_north = _apart(
                    scene.frame, (north, east), (fields.north_rad[f], fields.east_rad[f])
                )
                margin = -np.inf
                if z >= fields.arrival_amsl_m[f]:
                    _along(fine, d_east, d_north, along)
                    margin = _margin(high, floors.free[i, f], along, lanes)
                out[1][i, j, f] = margin
                if margin < 0.0 or not floors.held[i, f]:
                    continue
                out[0][i, j, f] = REACHED
                if left_s <= 0.0:
                    continue
                if not filled:
                    for q in range(n_prices):
                        _support_at(priced, q * n_draws + i, z, coarse, high_priced[q])
                    filled = True
                _along(coarse, d_east, d_north, along_coarse)
                in_time = True
                for q in range(n_prices):
                    m = _margin(high_priced[q], floors.priced[q, i, f], along_coarse, lanes)
                    if m + prices[q] * left_s < 0.0:
                        in_time = False
                        break
                if in_time:
                    out[0][i, j, f] = REACHED | IN_TIME


class Doors(NamedTuple):
    """Answers of shape (n_draws, n_moments, n_fields)."""

    state: ByteArray  # 0, REACHED, or REACHED | IN_TIME
    margin_m: FloatArray  # how far inside (or, negative, outside) the reach the field lies


def doors(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    tracks: tuple[Tracks, NDArray[np.int64]],
    ways: Ways,
    goals: tuple[Goals, Floors],
    spread: Spread = in_one_go,
) -> Doors:
    """Return for each draw, moment and field whether a release then can still end there.

    `tracks`: the climbs and the indices of the moments asked about; `goals`: fields and floors.
    """
    n, n_moments, n_fields = len(drawn[2].end_s), len(tracks[1]), len(goals[0].north_rad)
    asked = (tracks[0], np.ascontiguousarray(tracks[1]))
    shape = (n, n_moments, n_fields)
    out = (np.zeros(shape, np.uint8), np.full(shape, np.nan))
    roses = (ways, FINE, COARSE)
    spread(lambda a, b: _doors_some(scene, drawn, asked, roses, goals, (a, b), out), n)
    return Doors(*out)


@compiled
def _spares_some(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    climbs: tuple[Tracks, int],
    free: tuple[Reach, Rose],
    asked: tuple[Goals, Floors],
    some: tuple[int, int],
    out: FloatArray,
) -> None:
    """Fill the height over each field that draws `some` could still have."""
    swarm, losses, haste = drawn
    tracks, moment = climbs
    reach, rose = free
    goals, floors = asked
    high, low = np.empty_like(rose.east), np.empty_like(rose.east)
    ground, along, still = (
        np.empty_like(rose.east),
        np.empty_like(rose.east),
        np.zeros_like(rose.east),
    )
    lanes = np.empty(LANES, np.float32)
    for i in range(some[0], some[1]):
        z = tracks.amsl_m[i, moment]
        if np.isnan(z):
            continue
        at = (i, z, tracks.north_rad[i, moment], tracks.east_rad[i, moment])
        z, north, east, _ = _begin(scene, swarm, losses, haste, at)
        _support_at(reach, i, z, rose, high)
        for f in range(len(goals.north_rad)):
            d_east, d_north = _apart(
                scene.frame, (north, east), (goals.north_rad[f], goals.east_rad[f])
            )
            _along(rose, d_east, d_north, along)
            bottom, top = goals.arrival_amsl_m[f], z
            if top <= bottom:
                continue
            inside = _margin(high, floors.free[i, f], along, lanes)
            if inside < 0.0 or not floors.held[i, f]:
                continue
            outside = -np.sqrt(d_east * d_east + d_north * d_north)
            while top - bottom > 20.0:  # false position, kept from creeping by halves
                share = inside / (inside - outside)
                middle = bottom + min(max(share, 0.1), 0.9) * (top - bottom)
                _support_at(reach, i, middle, rose, low)
                margin = _margin(high, low, along, lanes)
                if margin >= 0.0:
                    _support_at(reach, i, goals.ground_amsl_m[f], rose, ground)
                    if _margin(low, ground, still, lanes) < 0.0:
                        margin = -1.0
                if margin >= 0.0:
                    bottom, inside, outside = middle, margin, 0.7 * outside
                else:
                    top, outside, inside = middle, margin, 0.7 * inside
            out[i, f] = bottom - goals.ground_amsl_m[f]


def spares(
    scene: Scene,
    drawn: tuple[Swarm, Losses, Haste],
    climbs: tuple[Tracks, int],
    free: Reach,
    goals: tuple[Goals, Floors],
    spread: Spread = in_one_go,
) -> FloatArray:
    """Return the spare height over each field for a release at one moment, NaN where out of reach.

    `climbs`: the tracks and the index of the moment; `goals`: fields and floors. Shape
    (n_draws, n_fields), to 20 m.
    """
    out = np.full((len(drawn[2].end_s), len(goals[0].north_rad)), np.nan)
    roses = (free, FINE)
    spread(lambda a, b: _spares_some(scene, drawn, climbs, roses, goals, (a, b), out), len(out))
    return out
