"""Detection: how much a look at an area finds, by published search theory."""

import math
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.errors import InputError, check_range

ON_FOOT: Final = {"average": 1.645, "high": 1.8, "medium": 1.6, "low": 1.1}
"""Effective sweep width over range of detection, by how well the object shows.

Source: Koester et al., Wilderness and Environmental Medicine (2014), abstract, ten experiments.
"""


class Look(NamedTuple):
    """An area looked at: sweep width, speed and time of all who look, and how large it is."""

    sweep_m: float
    speed_mps: float
    seconds: float
    area_m2: float


def coverage_ratio(look: Look) -> float:
    """Return the coverage W v t / A: area swept over the area.

    Source: Koopman, Search and Screening (1946), as the search-theory notes of check tables have
    it.

    >>> round(coverage_ratio(Look(60.0, 1.0, 170 * 60.0, 0.61e6)), 2)
    1.0
    """
    for name, value, unit in zip(Look._fields, look, ("m", "m/s", "s", "m2"), strict=True):
        least = 0.0 if name == "seconds" else 1e-9
        if not least <= value < math.inf:
            allowed = "0 or more, finite" if name == "seconds" else "above 0, finite"
            raise InputError(f"{name} of a look", f"{value:g} {unit}", allowed)
    return look.sweep_m * look.speed_mps * look.seconds / look.area_m2


def random_pod(coverage: float) -> float:
    """Return the chance of detection if it is there, looking without a pattern: 1 - exp(-C).

    What crews on foot reach; an ordered search finds more. Source: Koopman's formula of random
    search, after Washburn, Search and Detection.

    >>> [round(random_pod(c), 2) for c in (0.5, 1.0, 1.5, 2.0)]
    [0.39, 0.63, 0.78, 0.86]
    """
    check_range("coverage", coverage, "", (0.0, math.inf))
    return -math.expm1(-coverage)


def parallel_pod(coverage: float) -> float:
    """Return that chance for even parallel tracks under the inverse-cube law: erf(C sqrt(pi) / 2).

    Source: Koopman, after Washburn section 2.4, as lecture notes cite it: 2 Phi(C sqrt(pi/2)) - 1.

    >>> round(parallel_pod(1.0), 2)
    0.79
    """
    check_range("coverage", coverage, "", (0.0, math.inf))
    return math.erf(coverage * math.sqrt(math.pi) / 2.0)


def success_ratio(poc: float, pod: float) -> float:
    """Return the chance of success: of it being there, times that of being detected if it is."""
    check_range("chance of containment", poc, "", (0.0, 1.0))
    check_range("chance of detection", pod, "", (0.0, 1.0))
    return poc * pod


def sweep_on_foot_m(detection_m: float, shows: str = "average") -> float:
    """Return the effective sweep width on land, on foot, from the range of detection.

    That is the mean distance at which walking away from such an object it is lost from sight.
    """
    check_range("range of detection", detection_m, "m", (0.1, 1000.0))
    if shows not in ON_FOOT:
        listed = ", ".join(ON_FOOT)
        raise InputError("how it shows", repr(shows), listed)
    return ON_FOOT[shows] * detection_m


def after_looking(poc: FloatArray, pod: FloatArray) -> FloatArray:
    """Return the chances of containment after it was not found, (n_segments,): Bayes' rule.

    They may sum to less than 1: the rest of the world, not looked at, gains its share as well.
    Source: Stone, Theory of Optimal Search (1975), as search notes cite it.

    >>> after_looking(np.array([0.6, 0.4]), np.array([0.5, 0.0])).round(4).tolist()
    [0.4286, 0.5714]
    """
    missed = poc * (1.0 - pod)
    left = 1.0 - float((poc * pod).sum())
    if not left > 0.0:
        raise InputError("chance that it was missed", left, "above 0", "It must have been found.")
    return np.asarray(missed / left)


def best_seconds(walk_s: float, rate_ps: float) -> float:
    """Return how long to look so that the chance of finding per second, the walk counted, is best.

    `rate_ps`: coverage gained per second, W v / A. Where the gain of one more second has fallen to
    the mean gain so far, one goes on. Valid: walks above 0.
    Source: d/dt of (1 - exp(-k t)) / (s + t) is 0, solved by halving.
    """
    check_range("walk_s", walk_s, "s", (1e-6, 1e7))
    check_range("rate_ps", rate_ps, "1/s", (1e-12, 1e3))
    low, high = 0.0, 60.0 / rate_ps
    for _ in range(80):
        t = 0.5 * (low + high)
        still_gains = (walk_s + t) * rate_ps * math.exp(-rate_ps * t) > -math.expm1(-rate_ps * t)
        low, high = (t, high) if still_gains else (low, t)
    return 0.5 * (low + high)


def best_effort_s(poc: FloatArray, rate_ps: FloatArray, seconds: float) -> FloatArray:
    """Return how a time is best shared out between segments next to each other, no walk counted.

    The gain p k exp(-k t) of one more second is alike in all that are looked at, and less in those
    that are not. Shapes: (n_segments,).
    Source: Stone, Theory of Optimal Search (1975), and Koopman's allocation for an exponential
    chance of detection, here by halving on the common gain.
    """
    gain = poc * rate_ps
    low, high = -700.0, float(np.log(gain.max()))  # of the logarithm of that common gain

    def shared(log_gain: float) -> FloatArray:
        worth = gain > 0.0
        logs = np.log(gain, where=worth, out=np.full(gain.shape, -np.inf))
        return np.maximum(logs - log_gain, 0.0) / rate_ps

    for _ in range(100):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if shared(middle).sum() > seconds else (low, middle)
    return np.asarray(shared(0.5 * (low + high)))


def circle_ratio(probable_errors: float) -> float:
    """Return the chance of containment in a circle of so many probable errors: 1 - 0.5^(f^2)."""
    check_range("probable_errors", probable_errors, "", (0.0, 100.0))
    return -math.expm1(-math.log(2.0) * probable_errors**2)


def ellipse_scale(share: float) -> float:
    """Return by how many deviations an ellipse of a plane normal error holds a share of it.

    >>> round(ellipse_scale(0.95), 4)
    2.4477
    """
    check_range("share", share, "", (0.0, 0.999999))
    return math.sqrt(-2.0 * math.log(1.0 - share))


def radius_holding_m(major_m: float, minor_m: float, share: float) -> float:
    """Return the radius of the circle that holds a share of a plane normal error.

    `major_m`, `minor_m`: its two deviations. Source: the bivariate normal, integrated over angles.
    """
    check_range("minor_m", minor_m, "m", (1e-6, 1e9))
    check_range("major_m", major_m, "m", (minor_m, 1e9))
    check_range("share", share, "", (1e-6, 0.999999))
    turn = (np.arange(720) + 0.5) * (0.5 * math.pi / 720)
    # In each direction the chance beyond a radius is exp(-r^2 q / 2), q the inverse variance there.
    inverse = (np.cos(turn) / major_m) ** 2 + (np.sin(turn) / minor_m) ** 2
    low, high = 0.0, 10.0 * major_m
    for _ in range(80):
        middle = 0.5 * (low + high)
        held = -np.expm1(-0.5 * middle**2 * inverse) / inverse
        is_less = float(held.mean()) / (major_m * minor_m) < share
        low, high = (middle, high) if is_less else (low, middle)
    return 0.5 * (low + high)
