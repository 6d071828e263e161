"""Words for numbers that stand in a sentence of the outlook itself."""

from farglide.earth.clock import clock_text


def times_words(ratio: float) -> str:
    """Return odds as times in ten or twenty, never a bare percentage.

    >>> [times_words(p) for p in (0.92, 0.97, 0.5, 0.02)]
    ['9 times in 10', '19 times in 20', '5 times in 10', 'less than 1 time in 10']
    """
    if ratio >= 0.945:
        return "19 times in 20"
    tenths = int(ratio * 10.0 + 0.5)
    if tenths < 1:
        return "less than 1 time in 10"
    return f"{tenths} time{'s' if tenths > 1 else ''} in 10"


def moment_words(after_launch_s: float, launch_t_s: float, zone: str) -> str:
    """Return a moment as local clock time."""
    return clock_text(launch_t_s + after_launch_s, zone)


def km_words(amsl_m: float) -> str:
    """Return a height in whole kilometres.

    >>> km_words(25_600.0)
    '26 km'
    """
    return f"{amsl_m / 1000.0:.0f} km"
