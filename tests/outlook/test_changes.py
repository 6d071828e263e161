"""Launches elsewhere, and which of them is best."""

from farglide.outlook.changes import LaunchSpot, best_spot


def _spot(up_km: float, across_km: float, chance: float, shut_min: float) -> LaunchSpot:
    return LaunchSpot(
        up_drift_m=1e3 * up_km,
        across_m=1e3 * across_km,
        chance_ratio=chance,
        shut_s=60.0 * shut_min,
        release_by_after_launch_s=4000.0,
    )


def test_of_equal_chances_the_least_shut_then_the_nearest_is_best() -> None:
    longer, across, ahead = _spot(30, 0, 0.99, 9), _spot(40, 10, 0.99, 8), _spot(50, 0, 0.99, 8)
    near = _spot(40, 0, 0.99, 8)
    assert best_spot((longer, across, ahead, near)) == near
    assert best_spot((longer, across, ahead)) == ahead
