"""Points: where it may lie, as weighted points on the ground, each of one story."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from farglide.arrays import FloatArray, IntArray
from farglide.earth.geodesy import distances_m
from farglide.earth.state import Place
from farglide.errors import ContradictionError, InputError

_LEAST: Final = 1e-12  # of all weight: what is left is none


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundPoints:
    """Points on the ground, all arrays (n_points,), their weights summing to 1.

    `story`: index into `names`; `down_t_s`: when each came down, UTC.
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    weight: FloatArray
    story: IntArray
    down_t_s: FloatArray
    names: tuple[str, ...]

    def __post_init__(self) -> None:
        n = len(self.lat_deg)
        for name in ("lat_deg", "lon_deg", "weight", "story", "down_t_s"):
            values = getattr(self, name)
            if values.shape != (n,) or not np.isfinite(values).all():
                allowed = f"{n} finite values, one for each point"
                raise InputError(name, f"{values.shape} values", allowed, "Leave out the others.")
        if (self.weight < 0.0).any():
            raise InputError("weight", float(self.weight.min()), "0 or more")
        if n and not (0 <= int(self.story.min()) <= int(self.story.max()) < len(self.names)):
            raise InputError("story", int(self.story.max()), f"0 to {len(self.names) - 1}")
        total = float(self.weight.sum())
        if not total > _LEAST:
            what = "no place is left: what was told excludes them all."
            raise ContradictionError(what, "Take back the bearing or height that is least sure.")
        object.__setattr__(self, "weight", self.weight / total)

    @property
    def story_ratio(self) -> FloatArray:
        """Return the chance of each story, (n_stories,)."""
        found = np.bincount(self.story, weights=self.weight, minlength=len(self.names))
        return np.minimum(np.asarray(found, np.float64), 1.0)

    @property
    def n_effective(self) -> float:
        """Return how many points of even weight would say as much.

        Source: Kish, Survey Sampling (1965), from memory: 1 / sum of squares.
        """
        return float(1.0 / (self.weight**2).sum())

    def told(self, likelihood: FloatArray) -> "GroundPoints":
        """Return the points after something was learnt, (n_points,): Bayes' rule.

        Raises ContradictionError where it excludes every point.
        """
        return replace(self, weight=self.weight * likelihood)

    def middle(self, story: int | None = None) -> tuple[float, float]:
        """Return the weighted median latitude and longitude, of one story or of all."""
        keep = np.ones(len(self.story), np.bool_) if story is None else self.story == story
        first_deg = float(self.lon_deg[0])
        turned = (self.lon_deg - first_deg + 180.0) % 360.0 - 180.0
        lat_deg = quantile(self.lat_deg[keep], self.weight[keep], 0.5)
        lon_deg = first_deg + quantile(turned[keep], self.weight[keep], 0.5)
        return lat_deg, (lon_deg + 180.0) % 360.0 - 180.0

    def radius_m(self, share: float, story: int | None = None) -> float:
        """Return within how much of its middle that share of the weight lies."""
        keep = np.ones(len(self.story), np.bool_) if story is None else self.story == story
        lat_deg, lon_deg = self.middle(story)
        middle = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
        away_m = distances_m(middle, self.lat_deg[keep], self.lon_deg[keep])
        return quantile(away_m, self.weight[keep], share)


def quantile(values: FloatArray, weight: FloatArray, share: float) -> float:
    """Return the least value that this share of the weight does not exceed.

    >>> quantile(np.array([3.0, 1.0, 2.0]), np.array([0.2, 0.5, 0.3]), 0.5)
    1.0
    """
    order = np.argsort(values)
    sums = np.cumsum(weight[order])
    at = int(np.searchsorted(sums, share * sums[-1] - 1e-12))
    return float(values[order[min(at, len(values) - 1)]])


def joined(parts: Sequence[GroundPoints], shares: Sequence[float]) -> GroundPoints:
    """Return several stories as one, each with its share of the weight, none twice."""
    names = tuple(name for part in parts for name in part.names)
    if len(set(names)) != len(names):
        raise ContradictionError("two stories have one name.", "Give each its own.")
    offsets = np.cumsum([0, *(len(part.names) for part in parts)])[:-1]
    return GroundPoints(
        lat_deg=np.concatenate([part.lat_deg for part in parts]),
        lon_deg=np.concatenate([part.lon_deg for part in parts]),
        weight=np.concatenate([k * part.weight for k, part in zip(shares, parts, strict=True)]),
        story=np.concatenate([part.story + k for k, part in zip(offsets, parts, strict=True)]),
        down_t_s=np.concatenate([part.down_t_s for part in parts]),
        names=names,
    )
