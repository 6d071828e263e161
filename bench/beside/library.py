"""Library: the same falls followed by a general particle filter, in an environment of its own.

Run by `bench.beside.filters`, not by hand: reads a case, writes what it found and how long it took.
"""

import sys
import time
from typing import Any, Final

import numpy as np
import particles

# the library draws from numpy's global generator, and so do we, that one seed makes a run
draw_normal: Final = np.random.standard_normal


class Falls(particles.FeynmanKac):  # type: ignore[misc]
    """Falls in the air of their draws, fixes of their place: a bootstrap filter."""

    def __init__(self, case: Any) -> None:
        super().__init__(T=len(case["fix_m"]))
        self.case = {name: case[name] for name in case.files}
        self.case.update({name: float(self.case[name]) for name in (
            "base_m", "layer_m", "step_s", "n_inner", "level_mps", "up_mps", "up_ratio", "holds_s",
        )})  # fmt: skip

    def M0(self, N: int) -> Any:
        """Return particles at the first fix: draw, place east, north, up, and errors of speed."""
        case = self.case
        found = np.zeros((N, 7))
        found[:, 0] = np.arange(N) * len(case["sink_mps"]) // N
        found[:, 1:4] = case["begin_m"] + case["begin_sd_m"] * draw_normal((N, 3))
        found[:, 4:7] = case["begin_sd_mps"] * draw_normal((N, 3))
        return self.M(0, found)

    def M(self, t: int, xp: Any) -> Any:
        """Return particles a step later, each by its own fall and a drawn error of its speed."""
        case, x = self.case, xp.copy()
        draw = x[:, 0].astype(np.int64)
        h = case["step_s"] / case["n_inner"]
        kept = np.exp(-h / case["holds_s"])
        reach = case["holds_s"] * (1.0 - kept)
        for _ in range(int(case["n_inner"])):
            k = ((x[:, 3] - case["base_m"]) / case["layer_m"]).astype(np.int64)
            np.clip(k, 0, len(case["tas_per_eas"]) - 1, out=k)
            tas = case["tas_per_eas"][k]
            sink = case["sink_mps"][draw] * tas * np.maximum(tas, 1.0) ** case["thin"][draw]
            sink -= case["rise_mps"][draw, k]
            short = case["shortening"][k]
            up = np.hypot(case["up_mps"], case["up_ratio"] * sink)
            sd = np.stack([np.full(len(x), case["level_mps"])] * 2 + [up], axis=1)
            way, speed = self._noise(h, kept, sd)
            x[:, 1] += short * (h * (case["u_mps"][k] + case["east_mps"][draw, k])
                                + reach * x[:, 4]) + way[:, 0]  # fmt: skip
            x[:, 2] += short * (h * (case["v_mps"][k] + case["north_mps"][draw, k])
                                + reach * x[:, 5]) + way[:, 1]  # fmt: skip
            x[:, 3] += -h * sink + reach * x[:, 6] + way[:, 2]
            x[:, 4:7] = kept * x[:, 4:7] + speed
        return x

    def _noise(self, h: float, kept: float, sd: Any) -> Any:
        """Return drawn errors of way and speed over a step, as they belong together."""
        holds = self.case["holds_s"]
        speed2 = 1.0 - kept * kept
        both = holds * (1.0 - kept) ** 2
        way2 = holds * (2.0 * h - holds * (3.0 - 4.0 * kept + kept * kept))
        z = draw_normal((2, *sd.shape))
        speed = np.sqrt(speed2) * z[0]
        way = both / speed2 * speed + np.sqrt(max(way2 - both * both / speed2, 0.0)) * z[1]
        return sd * way, sd * speed

    def logG(self, t: int, xp: Any, x: Any) -> Any:
        """Return how well particles fit a fix."""
        missed = (x[:, 1:4] - self.case["fix_m"][t]) / self.case["fix_sd_m"]
        return -0.5 * (missed**2).sum(axis=1)


def main() -> None:
    """Follow the falls of a case some times over, by ever more particles until they are enough."""
    case, found = np.load(sys.argv[1]), {}
    for n, times in case["n"].tolist():
        means, sds, took = [], [], []
        for seed in range(times):
            np.random.seed(seed)  # noqa: NPY002
            run = particles.SMC(fk=Falls(case), N=n, resampling="systematic", ESSrmin=0.5)
            begun = time.perf_counter()
            run.run()
            took.append((time.perf_counter() - begun) / len(case["fix_m"]))
            mean = run.W @ run.X
            means.append(mean[1:7])
            sds.append(np.sqrt(run.W @ (run.X - mean) ** 2)[1:7])
        found[f"means_{n}"], found[f"sds_{n}"] = np.array(means), np.array(sds)
        found[f"step_s_{n}"] = np.median(took)
        if (np.std(means, axis=0)[:3] <= case["near_m"]).all():
            break  # as near to the truth as is asked: more would only take longer
    np.savez(sys.argv[2], **found)


if __name__ == "__main__":
    main()
