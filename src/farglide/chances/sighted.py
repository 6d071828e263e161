"""Sighted: draws moved by heights, places and directions that were read since the last fix."""

from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.paths import Paths, Since, drifts_m, metres_per_rad, offsets_of
from farglide.earth.state import Place, place_deg
from farglide.sim.core.airerrors import AirDoubts, AirErrors
from farglide.sim.core.draws import normals
from farglide.sim.core.learnt import Measured, learnt, moved, noise_of
from farglide.sim.core.scene import Scene
from farglide.sim.core.step import Frame
from farglide.track.drift import Been, add_passage
from farglide.track.read import Points
from farglide.track.theodolite import Spot, spot_of

_LOOKS: Final = 4
"""Directions are taken where they were believed to point, so often anew: then nothing moves."""
_PLACE_SEED: Final = 5_500_003


class Lines(NamedTuple):
    """What was read of the place, as the mean wind since the last fix; (n_readings, …)."""

    measured: Measured
    target_m: FloatArray  # (…, 2): where it has the balloon, east and north of the last fix
    per_metre: FloatArray  # (…, 2): how much farther for a metre that it is higher
    seconds: FloatArray  # of that wind, as the ground sees it


class Aired(NamedTuple):
    """The draws' air before anything was measured, and what fixes have measured of it."""

    doubts: AirDoubts
    errors: AirErrors
    fixes: Measured
    own: FloatArray  # (n_draws, 2 n_fixes): standard normal numbers of their errors


def lines_of(since: Since, paths: Paths, known: Aired) -> Lines:
    """Return what was read of the place as winds, where all of it together has the balloon."""
    doubts, errors, fixes, _ = known
    scene, at = since.before.air.scene, paths.at
    drift_m = drifts_m(scene, errors, since.last, paths)[:, at].mean(axis=0)
    height_m = paths.amsl_m[:, at].mean(axis=0)
    share, seconds = _shares(scene, paths)
    nothing = fixes.rows(np.zeros(0, dtype=np.int64))
    slower = learnt(doubts, nothing).up.mean_mps
    here_m = drift_m
    for _ in range(_LOOKS):
        spots = _spots(since, here_m, height_m)
        target_m = here_m + np.array([one.off_m for one in spots])
        noise = np.array([one.covariance_m2 for one in spots]) / seconds[:, None, None] ** 2
        off = (target_m - drift_m) / seconds[:, None] + share @ slower
        sd = np.sqrt(np.linalg.eigvalsh(noise)[:, 1])
        measured = Measured(share, np.asarray(off), np.asarray(sd), np.asarray(noise))
        mean = learnt(doubts, joined(fixes, measured)).up.mean_mps - slower
        here_m = drift_m + seconds[:, None] * (share @ mean)
    per_metre = np.array([one.per_metre for one in spots])
    return Lines(measured, target_m, per_metre, seconds)


def joined(one: Measured, other: Measured) -> Measured:
    """Return the stretches of both."""
    return Measured(
        np.concatenate([one.share_ratio, other.share_ratio]),
        np.concatenate([one.off_mps, other.off_mps]),
        np.concatenate([one.sd_mps, other.sd_mps]),
        np.concatenate([one.covariance_mps2, other.covariance_mps2]),
    )


def _shares(scene: Scene, paths: Paths) -> tuple[FloatArray, FloatArray]:
    """Return the share of the time in each layer until each reading, and that time.

    Of the mean path; the time as the ground sees it, where high air moves a balloon less.
    """
    middle = Been(paths.t_s, paths.amsl_m.mean(axis=0), 0.0 * paths.t_s, 0.0 * paths.t_s)
    spent = np.zeros((len(paths.t_s), len(scene.layers.rho_kgpm3)))
    for k in range(len(paths.t_s) - 1):
        spent[k + 1] = spent[k]
        add_passage(scene, middle, k, spent[k + 1])
    until = spent[paths.at]
    share = until / until.sum(axis=1, keepdims=True)
    return share, until.sum(axis=1) * (share @ scene.layers.shortening_ratio)


def _spots(since: Since, here_m: FloatArray, height_m: FloatArray) -> list[Spot]:
    """Return where each reading has the balloon, in the order of their times."""
    read, last = since.read, since.last
    frame, launch = since.before.air.scene.frame, since.before.sortie.launch
    told: list[tuple[float, int]] = [
        *((float(t), k) for k, t in enumerate(read.points.t_s)),
        *((one.t_s, -1 - k) for k, one in enumerate(read.directions)),
    ]
    found = []
    for (_, k), metres, amsl_m in zip(sorted(told), here_m, height_m, strict=True):
        if k >= 0:
            off_m = _spot_at(frame, last, read.points, k) - metres
            covariance = read.points.sd_m[k] ** 2 * np.eye(2)
            found.append(Spot(off_m, np.asarray(covariance), np.zeros(2)))
            continue
        offsets = offsets_of(frame, last, metres)
        lat_deg, lon_deg = place_deg(launch, float(offsets[0]), float(offsets[1]))
        place = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=float(amsl_m))
        found.append(spot_of(read.directions[-1 - k], place))
    return found


def _spot_at(frame: Frame, last: FloatArray, points: Points, k: int) -> FloatArray:
    """Return a place that was read, in metres east and north of the last fix."""
    meridian, parallel = metres_per_rad(frame, last[2])
    return np.array(
        [parallel * (points.east_rad[k] - last[3]), meridian * (points.north_rad[k] - last[2])]
    )


def moved_by(since: Since, paths: Paths, lines: Lines, known: Aired) -> AirErrors:
    """Return the draws' errors of the air moved by fixes and by what was read of the place.

    Each draw counts the distance of a direction by its own height. Its error of reading is drawn by
    the number of the reading: more of them move it on.
    """
    doubts, errors, fixes, own = known
    n_draws, n = len(errors.out_east_mps), len(lines.seconds)
    drawn = normals(n_draws, 2 * n, since.before.grain.seed + _PLACE_SEED)
    higher_m = paths.amsl_m[:, paths.at] - paths.amsl_m[:, paths.at].mean(axis=0)
    target_m = lines.target_m + higher_m[:, :, None] * lines.per_metre
    drift_m = drifts_m(since.before.air.scene, errors, since.last, paths)[:, paths.at]
    off_mps = (target_m - drift_m) / lines.seconds[:, None]
    ways = errors.out_east_mps, errors.out_north_mps
    seen = np.stack([one @ fixes.share_ratio.T for one in ways], axis=2)
    heard = fixes.off_mps - noise_of(fixes, own) - seen
    missed = np.concatenate([heard, off_mps - noise_of(lines.measured, drawn)], axis=1)
    return moved(doubts, errors, joined(fixes, lines.measured), missed)
