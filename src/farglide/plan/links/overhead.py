"""Overhead: when the flight stands so high over a stand that it is hard to hear and to follow."""

from collections.abc import Sequence

from farglide.outlook.links import NEAR_M, OVERHEAD_DEG, HeardPoint


def overhead_spans(points: Sequence[HeardPoint]) -> tuple[tuple[float, float], ...]:
    """Return the stretches, seconds after launch, from the first to the last such point."""
    found: list[tuple[float, float]] = []
    was_high = False
    for point in points:
        is_high = point.elevation_deg > OVERHEAD_DEG and point.range_m > NEAR_M
        if is_high:
            first_s = found.pop()[0] if was_high else point.after_launch_s
            found.append((first_s, point.after_launch_s))
        was_high = is_high
    return tuple(found)
