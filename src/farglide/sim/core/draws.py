"""Draws: what varies from draw to draw, made of independent normal numbers.

Draw i depends on the seed and i alone, so 200 draws are the first 200 of 1 000 and the same
question asked twice gets the same answer.
"""

from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.balloon.bands import N_BANDS, band_errors
from farglide.balloon.burst import Bursting, burst_diameters_m
from farglide.errors import InputError
from farglide.sim.core.airerrors import AirDoubts, AirErrors, fill_air_errors, no_air_errors
from farglide.sim.core.scene import Swarm

_SCALARS: Final = (
    "gas", "drag", "burst", "warm", "glide", "drop", "heading", "sink", "area", "reaction", "thin",
    *(f"band {i}" for i in range(N_BANDS)),
)  # fmt: skip
_N_BEFORE_AIR: Final = 32  # room for scalars and packs: one more pack must not change the winds
_CLIP_SD: Final = 4.0
_AT_ONCE: Final = 100  # draws whose normal numbers are held at a time


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertain:
    """A number drawn from a normal distribution, cut at four standard deviations and at a floor."""

    mean: float
    sd: float
    floor: float = 0.0

    def drawn(self, normal: FloatArray) -> FloatArray:
        """Return the draws that belong to these standard normal numbers."""
        values: FloatArray = np.maximum(
            self.mean + self.sd * np.clip(normal, -_CLIP_SD, _CLIP_SD), self.floor
        )
        return values


@dataclass(frozen=True, slots=True, kw_only=True)
class ClimbDoubt:
    """How far a climb may be off its drag curve: as a whole, and in each band of height."""

    common_ratio: float
    band_ratio: float
    stay_ratio: tuple[float, ...]  # of the climb, in each band

    def factors(self, common: FloatArray, bands: FloatArray) -> FloatArray:
        """Return the speed over that of the curve, (n_draws, n_bands), of standard normal numbers.

        `common` (n_draws,): larger for a slower climb; `bands` (n_draws, n_bands).
        """
        whole, bands = (np.clip(z, -_CLIP_SD, _CLIP_SD) for z in (common, bands))
        errors = self.band_ratio * band_errors(bands, np.array(self.stay_ratio))
        return np.asarray(np.exp(errors - self.common_ratio * whole[:, None]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubts:
    """Everything a draw varies but the air."""

    gas_kg: Uncertain
    drag_factor: Uncertain
    climb: ClimbDoubt
    bursting: Bursting
    gas_warmer_k: Uncertain
    glide_factor: Uncertain
    drop_drag: Uncertain
    heading_s: Uncertain
    pack_ends_s: tuple[Uncertain, ...]
    reaction_s: Uncertain


class Drawn(NamedTuple):
    """All draws, first axis the draw."""

    swarm: Swarm
    glide_factor: FloatArray
    drop_drag: FloatArray
    heading_s: FloatArray
    pack_end_s: FloatArray  # the first pack to end
    reaction_s: FloatArray
    story_normal: FloatArray  # (n_draws, 3): of a sink left to itself, a drag area, its growth
    seen_normal: FloatArray  # of the height that the crew reads


def normals(n_draws: int, n_numbers: int, seed: int, first: int = 0) -> FloatArray:
    """Return independent standard normal numbers of the draws from the `first`.

    Shape (n_draws, n_numbers). The row of draw i is what a counter-based generator keyed by (seed,
    i) gives first.
    Source: Salmon et al., Parallel random numbers: as easy as 1, 2, 3 (2011): Philox, as in numpy.
    """
    if not 1 <= n_draws <= 1_000_000:
        raise InputError("n_draws", n_draws, "1 to 1 000 000")
    if not 0 <= seed < 2**63:
        raise InputError("seed", seed, "0 to 2**63 - 1")
    out = np.empty((n_draws, n_numbers))
    # one generator set back for each draw: a new one takes as long as a hundred numbers
    philox = np.random.Philox(key=np.array([seed, first], dtype=np.uint64))
    generator, fresh = np.random.Generator(philox), philox.state
    key = fresh["state"]["key"]
    for i in range(n_draws):
        key[1] = first + i
        philox.state = fresh
        generator.standard_normal(out=out[i])
    return out


def draw(doubts: Doubts, air: AirDoubts, n_draws: int, seed: int) -> Drawn:
    """Return the draws of all that is uncertain."""
    z = normals(n_draws, _n_scalar(doubts), seed)
    return _drawn(doubts, z, draw_air(doubts, air, n_draws, seed))


def draw_air(doubts: Doubts, air: AirDoubts, n_draws: int, seed: int) -> AirErrors:
    """Return the errors of the air in these draws, whatever else is uncertain beside it."""
    errors, n_scalar = no_air_errors(n_draws, len(air.deep_mps)), _n_scalar(doubts)
    for first in range(0, n_draws, _AT_ONCE):
        n = min(_AT_ONCE, n_draws - first)
        z = normals(n, n_scalar + air.n_numbers, seed, first)[:, n_scalar:]
        fill_air_errors(air, z, AirErrors(*(one[first : first + n] for one in errors)), first)
    return errors


def redrawn(drawn: Drawn, doubts: Doubts, seed: int) -> Drawn:
    """Return the same draws, in their air, where all else is uncertain otherwise."""
    swarm = drawn.swarm
    air = AirErrors(*(getattr(swarm, name) for name in AirErrors._fields))
    return _drawn(doubts, normals(len(swarm.gas_kg), _n_scalar(doubts), seed), air)


def undisturbed(doubts: Doubts, n_layers: int) -> Drawn:
    """Return the one draw without any error, whose balloon bursts at the stated diameter."""
    drawn = _drawn(doubts, np.zeros((1, _n_scalar(doubts))), no_air_errors(1, n_layers))
    stated_m = np.array([doubts.bursting.mean_m])
    return drawn._replace(swarm=drawn.swarm._replace(burst_diameter_m=stated_m))


def _n_scalar(doubts: Doubts) -> int:
    return max(_N_BEFORE_AIR, len(_SCALARS) + len(doubts.pack_ends_s) + 1)


def _drawn(doubts: Doubts, z: FloatArray, air: AirErrors) -> Drawn:
    """Return what standard normal numbers, (n_draws, n_scalar), make of the doubts."""
    n_draws = len(z)
    scalar = {name: z[:, i] for i, name in enumerate(_SCALARS)}
    bands = np.stack([scalar[f"band {i}"] for i in range(N_BANDS)], axis=1)
    swarm = Swarm(
        gas_kg=doubts.gas_kg.drawn(scalar["gas"]),
        drag_factor=doubts.drag_factor.drawn(scalar["drag"]),
        burst_diameter_m=burst_diameters_m(doubts.bursting, scalar["burst"]),
        gas_warmer_k=doubts.gas_warmer_k.drawn(scalar["warm"]),
        climb_factor=doubts.climb.factors(scalar["drag"], bands),
        **air._asdict(),
        number=np.arange(n_draws),
    )
    ends = [p.drawn(z[:, len(_SCALARS) + j]) for j, p in enumerate(doubts.pack_ends_s)]
    return Drawn(
        swarm=swarm,
        glide_factor=doubts.glide_factor.drawn(scalar["glide"]),
        drop_drag=doubts.drop_drag.drawn(scalar["drop"]),
        heading_s=doubts.heading_s.drawn(scalar["heading"]),
        pack_end_s=np.min(ends, axis=0) if ends else np.full(n_draws, np.inf),
        reaction_s=doubts.reaction_s.drawn(scalar["reaction"]),
        story_normal=np.stack([scalar["sink"], scalar["area"], scalar["thin"]], axis=1),
        seen_normal=z[:, -1],  # the last before the air: packs fill up from below
    )
