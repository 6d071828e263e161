"""Learnt: what measured winds tell of the air in every layer and every draw."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.errors import InputError
from farglide.sim.core.airerrors import AirDoubts, AirErrors

_NO_VARIANCE_MPS2: Final = 1e-12


class Measured(NamedTuple):
    """Mean winds over stretches of a climb, beside those told; arrays (n_stretches, …)."""

    share_ratio: FloatArray  # (…, n_layers): of the stretch's time, in each layer
    off_mps: FloatArray  # (…, 2), to east and north: measured less told
    sd_mps: FloatArray  # of the measuring, each component; the wider where they differ
    noise_mps2: FloatArray | None = None  # (…, 2, 2): their covariance; None: alike, independent

    def rows(self, some: IntArray) -> "Measured":
        """Return some of the stretches."""
        noise = None if self.noise_mps2 is None else self.noise_mps2[some]
        return Measured(self.share_ratio[some], self.off_mps[some], self.sd_mps[some], noise)

    @property
    def covariance_mps2(self) -> FloatArray:
        """Return the covariance of both components of each stretch, (n_stretches, 2, 2)."""
        if self.noise_mps2 is not None:
            return self.noise_mps2
        return np.asarray(self.sd_mps[:, None, None] ** 2 * np.eye(2))


class Known(NamedTuple):
    """What is known of the error of the air on one way, shape (n_layers,) or (n_layers, 2)."""

    mean_mps: FloatArray  # to east and north
    sd_mps: FloatArray  # of a component, root mean square of both
    known_ratio: FloatArray  # share of the variance told before that measuring took away


class Learnt(NamedTuple):
    """What is known of the air after measuring: as it was met, and on the way home."""

    up: Known
    home: Known


class _Crossed(NamedTuple):
    """Covariances of all errors with those of the stretches, (2 n_layers, 2 n_stretches)."""

    up: FloatArray
    home: FloatArray


def with_learnt(
    doubts: AirDoubts, errors: AirErrors, measured: Measured, normals: FloatArray
) -> AirErrors:
    """Return the draws' errors moved by what each was off where the wind was measured.

    A draw keeps its own numbers, so it moves smoothly as more is measured; the air's own rise
    stays. `normals`: standard normal numbers of the measuring's own errors, (n_draws, 2
    n_stretches).
    Raises InputError. Source: conditioning by kriging, Chilès & Delfiner, Geostatistics, 7.3.1,
    from memory.
    """
    n_draws, n_layers = errors.out_east_mps.shape
    n = len(checked(measured, n_layers).sd_mps)
    if normals.shape != (n_draws, 2 * n):
        raise InputError("normals", normals.shape, f"({n_draws}, {2 * n}), two a stretch and draw")
    if not n:
        return errors
    share = measured.share_ratio
    seen = np.stack([one @ share.T for one in (errors.out_east_mps, errors.out_north_mps)], axis=2)
    noise = noise_of(measured, normals)
    return moved(doubts, errors, measured, measured.off_mps - noise - seen)


def noise_of(measured: Measured, normals: FloatArray) -> FloatArray:
    """Return errors of the measuring, (n_draws, n_stretches, 2), of standard normal numbers."""
    even = normals.reshape(len(normals), -1, 2)
    if measured.noise_mps2 is None:
        return measured.sd_mps[:, None] * even
    roots = np.linalg.cholesky(measured.noise_mps2)
    return np.einsum("kij,dkj->dki", roots, even)


def moved(
    doubts: AirDoubts, errors: AirErrors, measured: Measured, missed: FloatArray
) -> AirErrors:
    """Return the draws' errors moved by what each of them missed of the stretches.

    `missed` (n_draws, n_stretches, 2): measured, less an error of measuring and the draw's own.
    """
    n_draws, n_layers = errors.out_east_mps.shape
    crossed = crossed_with(doubts, measured.share_ratio)
    weights = np.linalg.solve(seen_with(crossed, measured), missed.reshape(n_draws, -1).T)
    by_way = [(one @ weights).reshape(n_layers, 2, n_draws).T for one in crossed]
    told = errors.out_east_mps, errors.out_north_mps, errors.home_east_mps, errors.home_north_mps
    by = (one[:, j] for one in by_way for j in range(2))
    # kernels are compiled for rows that lie one behind the other
    after = (np.ascontiguousarray(was + one, np.float32) for was, one in zip(told, by, strict=True))
    return AirErrors._make((*after, errors.rise_mps))


def learnt(doubts: AirDoubts, measured: Measured) -> Learnt:
    """Return what is known of the error of the air on both ways. Raises InputError."""
    checked(measured, len(doubts.deep_mps))
    crossed = crossed_with(doubts, measured.share_ratio)
    missed = missed_mps(doubts, measured).reshape(-1)
    seen = seen_with(crossed, measured)
    # at one go: the sum that solves takes apart what is seen, the same for both ways
    rows = np.column_stack([crossed.up.T, crossed.home.T, missed])
    solved = np.asarray(np.linalg.solve(seen, rows), np.float64)
    n, weights = len(crossed.up), solved[:, -1]
    by_way = zip(crossed, (solved[:, :n], solved[:, n : 2 * n]), _variances(doubts), strict=True)
    return Learnt(*(_known(doubts, one, before, each, weights) for one, each, before in by_way))


def scaled(doubts: AirDoubts, ratio: float | FloatArray) -> AirDoubts:
    """Return the doubts with deep errors, and what they grow, so many times as wide.

    `ratio`: of all layers, or of each, (n_layers,).
    """
    names = "deep_mps", "deep_along_mps", "grown_mps", "grown_along_mps"
    return doubts._replace(**{name: ratio * getattr(doubts, name) for name in names})


def _known(
    doubts: AirDoubts,
    crossed: FloatArray,
    before: FloatArray,
    solved: FloatArray,
    weights: FloatArray,
) -> Known:
    after = before - (crossed * solved.T).sum(axis=1).reshape(-1, 2)
    after = np.maximum(after, 0.0).sum(axis=1)
    moved = (crossed @ weights).reshape(-1, 2)
    before = np.maximum(before.sum(axis=1), _NO_VARIANCE_MPS2)
    return Known(_slower(doubts) + moved, np.sqrt(0.5 * after), 1.0 - after / before)


def _slower(doubts: AirDoubts) -> FloatArray:
    return -doubts.slower_mps[:, None] * np.stack(doubts.along, axis=1)


def missed_mps(doubts: AirDoubts, measured: Measured) -> FloatArray:
    return np.asarray(measured.off_mps - measured.share_ratio @ _slower(doubts))


def checked(measured: Measured, n_layers: int) -> Measured:
    n = len(measured.sd_mps)
    shapes = {"share_ratio": (n, n_layers), "off_mps": (n, 2), "sd_mps": (n,)}
    for name, shape in shapes.items():
        array = getattr(measured, name)
        if array.shape != shape or not np.isfinite(array).all():
            raise InputError(name, f"of shape {array.shape}", f"{shape}, all finite")
    noise = measured.noise_mps2
    if noise is not None and (noise.shape != (n, 2, 2) or not np.isfinite(noise).all()):
        raise InputError("noise_mps2", f"of shape {noise.shape}", f"({n}, 2, 2), all finite")
    if n and not (measured.sd_mps > 0.0).all():
        raise InputError("sd_mps", f"{measured.sd_mps.min():g} m/s", "more than 0 m/s")
    return measured


def seen_with(crossed: _Crossed, measured: Measured) -> FloatArray:
    """Return the covariance of what the stretches measure, (2 n_stretches, 2 n_stretches)."""
    n, n_layers = measured.share_ratio.shape
    by_layer = crossed.up.reshape(n_layers, -1)
    seen = (measured.share_ratio @ by_layer).reshape(2 * n, 2 * n)
    add_noise(seen, measured, 1.0)
    return np.asarray(seen)


def add_noise(seen: FloatArray, measured: Measured, times: float) -> None:
    """Add to a covariance of what stretches measure so many times that of the measuring itself."""
    first = 2 * np.arange(len(measured.sd_mps))
    covariance = times * measured.covariance_mps2
    for i in range(2):
        for j in range(2):
            seen[first + i, first + j] += covariance[:, i, j]


def crossed_with(doubts: AirDoubts, share: FloatArray) -> _Crossed:
    """Return the covariance of every layer's errors with those of the stretches, by the way."""
    shallow = _hang(np.full(len(doubts.deep_mps), doubts.shallow_depth_m), doubts.step_m)
    shallow *= np.outer(doubts.shallow_mps, doubts.shallow_mps)
    deep, turned = _hang(doubts.deep_depth_m, doubts.step_m), _turned(doubts)
    shallow_seen = shallow @ share.T
    deep_seen = np.einsum("lk,kce,mk->lmce", deep, turned, share, optimize=True)
    deep_seen = np.einsum("lac,lmce->lame", turned, deep_seen, optimize=True)
    both = np.eye(2)[None, :, None, :]
    shallow_seen = shallow_seen[:, None, :, None] * both
    kept_shallow, kept_deep = (
        one[:, None, None, None] for one in (doubts.shallow_kept_ratio, doubts.deep_kept_ratio)
    )
    ways = shallow_seen + deep_seen, kept_shallow * shallow_seen + kept_deep * deep_seen
    n_layers, n = len(deep), len(share)
    return _Crossed(*(one.reshape(2 * n_layers, 2 * n) for one in ways))


def _hang(depth_m: FloatArray, step_m: float) -> FloatArray:
    """Return how errors of layers hang together, as `air.layerdoubt.correlated` draws them."""
    lag = np.concatenate([[0.0], np.cumsum(step_m / depth_m[1:])])
    return np.exp(-np.abs(lag[:, None] - lag))


def _turned(doubts: AirDoubts) -> FloatArray:
    """Return what makes errors of size 1 the deep ones of each layer, (n_layers, 2, 2)."""
    return _sized(doubts, doubts.deep_mps, doubts.deep_along_mps)


def _sized(doubts: AirDoubts, across_mps: FloatArray, along_mps: FloatArray) -> FloatArray:
    to = np.stack(doubts.along, axis=1)
    ahead = to[:, :, None] * to[:, None, :] * (along_mps - across_mps)[:, None, None]
    return np.eye(2) * across_mps[:, None, None] + ahead


def _variances(doubts: AirDoubts) -> tuple[FloatArray, FloatArray]:
    """Return the variances of the errors up and home before anything is measured, (…, 2)."""
    deep, grown = _turned(doubts), _sized(doubts, doubts.grown_mps, doubts.grown_along_mps)
    deep_var, grown_var = ((one**2).sum(axis=2) for one in (deep, grown))
    shallow = doubts.shallow_mps[:, None] ** 2
    home = doubts.deep_kept_ratio[:, None] ** 2 * deep_var + grown_var + shallow
    return deep_var + shallow, home
