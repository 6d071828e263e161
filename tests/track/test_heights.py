"""Each kind of height is told only where it is known."""

import pytest

from farglide.track.heights import amsl_m, hae_m, palt_m
from farglide.track.reports import Fix, HeightKind

SEA, ELLIPSOID, PRESSURE = HeightKind.SEA_LEVEL, HeightKind.ELLIPSOID, HeightKind.PRESSURE


@pytest.mark.parametrize(
    ("kind", "separation_m", "told"),
    [
        (SEA, None, (1000.0, None, None)),
        (SEA, 45.0, (1000.0, 1045.0, None)),
        (ELLIPSOID, None, (None, 1000.0, None)),
        (ELLIPSOID, 45.0, (955.0, 1000.0, None)),
        (PRESSURE, 45.0, (None, None, 1000.0)),
    ],
)
def test_the_geoid_leads_from_one_to_the_other(
    kind: HeightKind, separation_m: float | None, told: tuple[float | None, ...]
) -> None:
    # NMEA 0183, GGA: height above the ellipsoid = above sea level + separation (from memory)
    fix = Fix(
        feed="a", lat_deg=1.0, lon_deg=2.0, height_m=1000.0, height_kind=kind,
        separation_m=separation_m,
    )  # fmt: skip
    assert (amsl_m(fix), hae_m(fix), palt_m(fix)) == told


@pytest.mark.parametrize("kind", HeightKind)
def test_no_height_is_none_of_any_kind(kind: HeightKind) -> None:
    fix = Fix(feed="a", lat_deg=1.0, lon_deg=2.0, height_kind=kind, separation_m=4.0)
    assert (amsl_m(fix), hae_m(fix), palt_m(fix)) == (None, None, None)
