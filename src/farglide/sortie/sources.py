"""Sources: which files winds, ground and places come from."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class WindSource:
    """Which file the winds come from, and what age and distance the crew accepts."""

    path: str
    accept_age_h: float = 3.0
    accept_distance_km: float = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TerrainSource:
    """Which files the heights of the ground come from."""

    paths: tuple[str, ...]
    void_amsl_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierSource:
    """A barrier whose outline stands in a file of its own."""

    name: str
    kind: str
    note: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesSource:
    """Which files fields, barriers and landmarks come from, besides those stated outright."""

    paths: tuple[str, ...] = ()
    barriers: tuple[BarrierSource, ...] = ()
