"""Heights of a fix, as far as it can tell each kind."""

from farglide.track.reports import Fix, HeightKind


def amsl_m(fix: Fix) -> float | None:
    """Return the height above mean sea level: as told, or by the geoid of the receiver."""
    if fix.height_m is None or fix.height_kind is HeightKind.SEA_LEVEL:
        return fix.height_m
    if fix.height_kind is HeightKind.ELLIPSOID and fix.separation_m is not None:
        return fix.height_m - fix.separation_m
    return None


def hae_m(fix: Fix) -> float | None:
    """Return the height above the ellipsoid: as told, or by the geoid of the receiver."""
    if fix.height_m is None or fix.height_kind is HeightKind.ELLIPSOID:
        return fix.height_m
    if fix.height_kind is HeightKind.SEA_LEVEL and fix.separation_m is not None:
        return fix.height_m + fix.separation_m
    return None


def palt_m(fix: Fix) -> float | None:
    """Return the pressure altitude, where that is what was told."""
    return fix.height_m if fix.height_kind is HeightKind.PRESSURE else None
