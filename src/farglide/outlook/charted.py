"""What a map shows beside the answer: stands, barriers, roads, and the heights of the ground."""

from dataclasses import dataclass

from farglide.outlook.launch import MapLine, MapMark


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundGrid:
    """Heights of the ground at even steps, rows from north to south; NaN where unknown."""

    north_deg: float  # of the first row
    west_deg: float  # of the first column
    step_lat_deg: float
    step_lon_deg: float
    amsl_m: tuple[tuple[float, ...], ...]  # whole metres


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartOutlook:
    """What the maps of a plan show beside its answer."""

    lat_deg: float  # of the launch
    lon_deg: float
    stands: tuple[MapMark, ...]
    lines: tuple[MapLine, ...]  # barriers (closed), roads, rails and wires, in the order written
    ground: GroundGrid | None  # round drift and fields; None without terrain
    wide: GroundGrid | None  # round the area to launch from; None without either
