"""A comparison as rows of a table for other programs: all cells, plain numbers and SI units."""

import csv
import io
from math import isfinite
from typing import Final

from farglide.earth.clock import local_datetime
from farglide.outlook.season import SeasonCell, SeasonOutlook

HEADS: Final = (
    "rank", "launch_utc", "spot", "lat_deg", "lon_deg", "neck_lift_kg", "home_ratio",
    "any_field_ratio", "home_any_height_ratio", "height_ratio", "shut_s",
    "release_by_after_launch_s", "burst_amsl_p10_m", "burst_amsl_p50_m", "burst_amsl_p90_m",
    "burst_after_launch_p50_s", "drift_m", "drift_deg", "crossed", "light_left_s",
    "ground_wind_mps", "landing_wind_mps", "landing_wind_from_deg", "drive_s", "limit", "reason",
)  # fmt: skip


def season_csv(outlook: SeasonOutlook) -> str:
    """Return all cells, the best first; what is not known is left empty."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(HEADS)
    for rank, cell in enumerate(outlook.cells, start=1):
        rows.writerow(map(_text, _row(outlook, rank, cell)))
    return out.getvalue()


def _row(outlook: SeasonOutlook, rank: int, cell: SeasonCell) -> tuple[object, ...]:
    spot, burst = outlook.spots[cell.spot], cell.burst_amsl_m
    launch = local_datetime(cell.launch_t_s, "UTC").strftime("%Y-%m-%dT%H:%M:%SZ")
    crossed = "; ".join(f"{one.name} {one.chance_ratio:.2f}" for one in cell.crossed)
    return (
        rank, launch, spot.name, spot.lat_deg, spot.lon_deg, cell.neck_lift_kg, cell.home_ratio,
        cell.any_field_ratio, cell.home_any_height_ratio, cell.height_ratio, cell.shut_s,
        cell.release_by_after_launch_s, burst.p10, burst.p50, burst.p90,
        cell.burst_after_launch_s.p50, cell.drift_m, cell.drift_deg, crossed, cell.light_left_s,
        cell.ground_wind_mps, cell.landing_wind_mps, cell.landing_wind_from_deg, spot.drive_s,
        cell.limit, cell.reason,
    )  # fmt: skip


def _text(value: object) -> str:
    if value is None or (isinstance(value, float) and not isfinite(value)):
        return ""
    return f"{value:.6g}" if isinstance(value, float) and abs(value) < 1e4 else (
        f"{value:.0f}" if isinstance(value, float) else str(value))  # fmt: skip
