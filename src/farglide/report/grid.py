"""Launching elsewhere as a grid: across the drift by row, up the drift by column."""

from dataclasses import dataclass
from typing import Final

from farglide.outlook.changes import LaunchSpot
from farglide.outlook.outlook import Outlook
from farglide.present.say.text import km_text, number_text, odds_short

NOTE: Final = (
    "odds of the field by km up the drift, minutes shut beneath; framed: best, bold: from here"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One launch: its odds, the minutes with home shut, and whether it is marked."""

    odds: str = ""
    shut: str = ""
    best: bool = False
    here: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """The launches, a row for each distance across and a column for each along the drift."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, tuple[Cell, ...]], ...]


def launch_grid(outlook: Outlook) -> Grid | None:
    """Return the grid of launches, the left of the drift at the top, or nothing without any."""
    spots = {(s.up_drift_m, s.across_m): s for s in outlook.launch_spots}
    if not spots:
        return None
    along = sorted({up for up, _ in spots})
    across = sorted({side for _, side in spots}, reverse=True)
    best = best_spot(outlook.launch_spots)
    return Grid(
        heads=tuple(km_text(up, 0) for up in along),
        rows=tuple(
            (_side_words(side), tuple(_cell(spots.get((up, side)), best) for up in along))
            for side in across
        ),
    )


def best_spot(spots: tuple[LaunchSpot, ...]) -> LaunchSpot:
    """Return the launch with the best odds; of equal ones the least shut, then the nearest."""
    return max(
        spots, key=lambda s: (round(s.odds_ratio, 2), -s.shut_s, -abs(s.across_m), -s.up_drift_m)
    )


def _side_words(across_m: float) -> str:
    if not across_m:
        return "on the line"
    return f"{km_text(abs(across_m), 0)} {'left' if across_m > 0.0 else 'right'}"


def _cell(spot: LaunchSpot | None, best: LaunchSpot) -> Cell:
    if spot is None:
        return Cell()
    return Cell(
        odds=odds_short(spot.odds_ratio),
        shut=number_text(spot.shut_s / 60.0),
        best=spot == best,
        here=not spot.up_drift_m and not spot.across_m,
    )
