"""Speeds: what to fly by height on the way to the field, and how the drawn flights fared."""

from typing import Final

from farglide.present.text import FlightClock, km_text, number_text, odds_words
from farglide.sortie.outlook import Outlook, SpeedRow

SPEED_HEADS: Final = (
    "height, km",
    "quickest: over ground",
    "sink",
    "EAS",
    "flattest: over ground",
    "sink",
    "EAS",
)
SPEED_NOTE: Final = "m/s; over ground and sink are what a receiver of positions shows"


def speed_cells(row: SpeedRow) -> tuple[str, ...]:
    """Return one height as cells; a dash where the flattest way already circles."""
    flat = (row.flat_ground_mps, row.flat_sink_mps, row.flat_eas_mps)
    return (
        km_text(row.amsl_m, 0),
        number_text(row.quick_ground_mps),
        number_text(row.quick_sink_mps),
        number_text(row.quick_eas_mps),
        *(number_text(value) if value is not None else "–" for value in flat),
    )


def flown_words(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return how all draws fare that are released at the last moment and steered straight home."""
    flown = outlook.flown
    if flown is None or outlook.release is None:
        return []
    heights = flown.over_field_amsl_m
    spread = ""
    if heights.p10 == heights.p10:
        spread = f" at {km_text(heights.p10, 0)} to {km_text(heights.p90, 0)} km"
    return [
        "all draws flown so, steered straight along the track: "
        f"{odds_words(flown.over_field_ratio)} "
        f"over {outlook.release.field}{spread}, by height alone; down in gentle circles "
        f"{clock.local(flown.down_after_launch_s.p50)}"
    ]
