"""Least glided: how near a made-up glide of ten minutes can bring wind and glide ratio at best.

The Cramér-Rao bound of a wind that is off alike at all heights and of the glide ratio, from what
straight minutes tell: the length of their way through the air, and their sink. Nothing is believed
of either before; how far it is flown off the speed told is known as a spread.
Run: python -m bench.replays.leastglided --glides 40
"""

import argparse
import sys
from typing import Final, NamedTuple

import numpy as np

from bench.replays.reglided import (
    _SD_M,
    Known,
    Truth,
    Way,
    climbed,
    glide_of,
    injected_truth,
    planned_demo,
)
from farglide.arrays import FloatArray
from farglide.chances.after.stretches import Fixed, on_its_way, stretches_of
from farglide.track.filter.glided import Believed, Stretches, _looked

WAYS: Final = {
    "two, 90 degrees apart": (0.0, 90.0),
    "two, 180 degrees apart": (0.0, 180.0),
    "three, 90 degrees apart": (0.0, 90.0, 180.0),
    "three, 120 degrees apart": (0.0, 120.0, 240.0),
    "four, 90 degrees apart": (0.0, 90.0, 180.0, 270.0),
    "ten, all round": tuple(36.0 * k for k in range(10)),
}
_STEADY: Final = ((0.05, 0.05), (0.02, 0.02), (0.0, 0.05))
_N_LOOKS: Final = 4000


class Least(NamedTuple):
    """The median of the wind's error, m/s, and one deviation of the glide ratio's logarithm."""

    wind_mps: float
    factor_sd: float


def least(some: Stretches, at_truth: FloatArray, steady: tuple[float, float]) -> Least:
    """Return the least errors that stretches of a glide allow.

    `at_truth` (2 n + 1,): the wind's true errors and the logarithm of the factor. Source: the
    Cramér-Rao bound of a linear model with normal errors, any textbook.
    """
    n = len(some.amsl_m)
    before = Believed(0.0, 1.0, np.ones(n), speed_sd=steady[0], steady_rises_mps=0.0)
    _, slope, noise = _looked(some, at_truth, np.full(n, steady[1]), before)
    even = np.column_stack([slope[:, 0 : 2 * n : 2].sum(1), slope[:, 1 : 2 * n : 2].sum(1),
                            slope[:, -1]])  # fmt: skip
    covariance = np.linalg.inv(even.T @ np.linalg.solve(noise, even))
    normals = np.random.default_rng(3).standard_normal((_N_LOOKS, 2))
    off = normals @ np.linalg.cholesky(covariance[:2, :2]).T
    return Least(float(np.median(np.hypot(*off.T))), float(np.sqrt(covariance[2, 2])))


def least_of(flight: Known, truth: Truth, way: Way, chance: np.random.Generator) -> Least | None:
    """Return the least errors that one made-up glide allows; None: it has too few stretches."""
    ensemble, home = flight.known.ensemble, flight.known.air.home
    been = on_its_way(ensemble, glide_of(flight, truth, way, chance))
    some = stretches_of(ensemble, flight.plain.reach.reaches.speeds, home, Fixed(been, _SD_M))
    if len(some.amsl_m) < 3:
        return None
    heights_m = ensemble.air.column.middles_amsl_m
    wind = np.stack([np.interp(some.amsl_m, heights_m, one) for one in truth.wind_mps.T], axis=1)
    at_truth = np.append(wind.ravel(), truth.log_factor)
    return least(some, at_truth, (truth.speed_sd, truth.wander_sd))


def rows_of(flight: Known, n: int) -> list[str]:
    """Return the table: by the headings and how steadily it is flown, the least errors."""
    rows = [
        "The least that a glide of ten minutes from 20 km allows, whatever is made of it; medians",
        f"of {n} made-up glides with 15 % less glide ratio in a wind 5 m/s off at all heights.",
        f"{'headings':26}{'flown off, all, each minute':>30}{'wind':>11}{'glide ratio':>13}",
    ]
    for steady in _STEADY:
        for name, degrees in WAYS.items():
            chance, found = np.random.default_rng(7), list[Least]()
            while len(found) < n:
                first = float(chance.uniform(0.0, 2.0 * np.pi))
                way = Way(20_000.0, 10, tuple(first + np.radians(one) for one in degrees))
                one = least_of(flight, injected_truth(flight, chance, steady), way, chance)
                if one is not None:
                    found.append(one)
            wind, factor = np.median(np.array(found), axis=0)
            flown = f"{steady[0]:.0%}, {steady[1]:.0%}"
            rows.append(f"{name:26}{flown:>30}{wind:7.1f} m/s{factor:12.1%}")
    return rows


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description="The least that made-up glides allow.")
    parser.add_argument("--glides", type=int, default=40)
    wanted = parser.parse_args()
    sys.stdout.write("\n".join(rows_of(climbed(planned_demo()), wanted.glides)) + "\n")


if __name__ == "__main__":
    main()
