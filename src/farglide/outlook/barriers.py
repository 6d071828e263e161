"""What is known of a way over a barrier: the heights needed at its edge, midway and beyond."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """From which heights over a place a field is open.

    `open_amsl_m`: stretches by the chance of the flight file, rising, the last one without an end
    where it is open up to the top; between them a fast wind carries the glider off. Gaps of less
    than 200 m are left out: there the chance only just misses. `error_free_amsl_m`: the least
    height without errors; NaN for none.
    """

    open_amsl_m: tuple[tuple[float, float], ...]
    error_free_amsl_m: float

    @property
    def amsl_m(self) -> float:
        """Return the least height from which the field is open, NaN where it is from none."""
        return self.open_amsl_m[0][0] if self.open_amsl_m else float("nan")

    @property
    def shut_amsl_m(self) -> tuple[tuple[float, float], ...]:
        """Return the stretches above the least height in which the field is shut again."""
        edges = [edge for stretch in self.open_amsl_m for edge in stretch]
        gaps = zip(edges[1::2], [*edges[2::2], float("inf")], strict=False)
        return tuple((low, high) for low, high in gaps if low < high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place on the way over a barrier: how far beyond its edge, and what is needed there.

    `behind` is None where no field lies on this side.
    """

    beyond_edge_m: float
    lat_deg: float
    lon_deg: float
    ahead: Needed
    behind: Needed | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierWay:
    """One way over one barrier: what is needed at the edge first met, midway and at the far edge.

    `decision_s`: flown flat from the commit height, how long after the edge the field behind stays
    open; 0 where it is shut there already, NaN without a field behind or a commit height.
    """

    barrier: str
    kind: str
    start: str
    open_ratio: float  # the chance that counts as open
    ahead: str
    behind: str  # empty where no field lies on this side
    stations: tuple[Station, Station, Station]
    decision_s: float
