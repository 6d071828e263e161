"""Launching elsewhere, as a grid."""

from dataclasses import replace

from farglide.outlook.changes import LaunchSpot
from farglide.outlook.outlook import Outlook
from farglide.report.grid import best_spot, launch_grid


def _spot(up_km: float, left_km: float, odds: float, shut_min: float) -> LaunchSpot:
    return LaunchSpot(
        up_drift_m=1000.0 * up_km,
        across_m=1000.0 * left_km,
        odds_ratio=odds,
        shut_s=60.0 * shut_min,
        release_by_after_launch_s=4500.0,
    )


def test_rows_go_across_and_columns_up_the_drift(outlook: Outlook) -> None:
    spots = tuple(
        _spot(up, left, 0.5 + 0.01 * up + 0.001 * left, 60.0 - up)
        for left in (-10.0, 0.0, 10.0)
        for up in (-20.0, 0.0, 20.0, 40.0)
    )
    grid = launch_grid(replace(outlook, launch_spots=spots))
    assert grid is not None
    assert grid.heads == ("−20", "0", "20", "40")
    assert [side for side, _ in grid.rows] == ["10 left", "on the line", "10 right"]
    here = grid.rows[1][1][1]
    assert (here.odds, here.shut, here.here, here.best) == ("1/2", "60", True, False)
    marked = [(r, c) for r, (_, row) in enumerate(grid.rows) for c, x in enumerate(row) if x.best]
    assert marked == [(0, 3)]  # 0.5 + 0.4 + 0.01, the largest of all
    assert grid.rows[0][1][3].odds == "9/10"


def test_of_equal_odds_the_least_shut_then_the_nearest_is_best() -> None:
    longer, across, ahead = _spot(30, 0, 0.99, 9), _spot(40, 10, 0.99, 8), _spot(50, 0, 0.99, 8)
    near = _spot(40, 0, 0.99, 8)
    assert best_spot((longer, across, ahead, near)) == near
    assert best_spot((longer, across, ahead)) == ahead


def test_a_missing_launch_leaves_an_empty_cell(outlook: Outlook) -> None:
    grid = launch_grid(replace(outlook, launch_spots=(_spot(0, 0, 0.9, 5), _spot(10, 10, 0.8, 5))))
    assert grid is not None
    assert [[cell.odds for cell in row] for _, row in grid.rows] == [["", "8/10"], ["9/10", ""]]
    assert launch_grid(replace(outlook, launch_spots=())) is None
