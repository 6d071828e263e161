"""What the side view is drawn from."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class BarrierSide:
    """A barrier in the side view: from the edge first met to the far one, and what it takes."""

    barrier: str
    from_along_m: float
    to_along_m: float
    commit_amsl_m: float  # NaN: from no height


@dataclass(frozen=True, slots=True, kw_only=True)
class SideView:
    """Height against distance along the drift, for the side view."""

    axis_deg: float
    climb: tuple[tuple[float, float], ...]  # (along_m, amsl_m)
    quickest: tuple[tuple[float, float], ...]
    flattest: tuple[tuple[float, float], ...]
    timely: tuple[tuple[float, float], ...]  # empty without such a flight
    wind_along: tuple[tuple[float, float], ...]  # (amsl_m, mps along the drift axis)
    barriers: tuple[BarrierSide, ...] = ()  # on the way to the chosen field
