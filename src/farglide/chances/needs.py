"""Needs: how sure a place must be for what is asked of it: a field's way home, an antenna's aim."""

from math import inf, radians, tan
from typing import Final

from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place, Placed, place_of
from farglide.outlook.advice import PlaceNow
from farglide.outlook.freshness import AimNow, Freshness
from farglide.rig.links import beam_deg, gear_of
from farglide.sortie.spec import Sortie

FIELD_RATIO: Final = 0.02
"""Of the way to a field: what a glide so far is off by anyhow, ten times over."""
FIELD_LEAST_M: Final = 300.0
"""Over the field itself: the height at which it arrives lets it look for it so far around."""
AIM_SHARE: Final = 0.25
"""Of the beam: an aim is worth correcting from there on. All three: common practice, no source."""


def for_field(place: PlaceNow, field: Placed) -> Freshness:
    """Return whether a place is known well enough to tell of a field."""
    here = Place(lat_deg=place.lat_deg, lon_deg=place.lon_deg, amsl_m=0.0)
    away_m = geodesic(here, place_of(field, 0.0)).distance_m
    return Freshness.of_need(place.most_within_m, max(FIELD_RATIO * away_m, FIELD_LEAST_M))


def narrowest_deg(sortie: Sortie) -> float:
    """Return the narrowest beam that the crew aims; infinite without a link."""
    return min((beam_deg(gear_of(spec)) for spec in sortie.links), default=inf)


def aims_of(sortie: Sortie, place: PlaceNow, beam_deg: float) -> tuple[AimNow, ...]:
    """Return where antennas are aimed from each stand, and whether the place will do for that.

    `beam_deg`: of the narrowest. Nothing without one.
    """
    if beam_deg == inf:
        return ()
    there = Place(lat_deg=place.lat_deg, lon_deg=place.lon_deg, amsl_m=place.amsl_m)
    found = []
    for stand in sortie.stands:
        aim = look(place_of(stand, stand.amsl_m + stand.mast_m), there)
        need_m = aim.range_m * tan(radians(AIM_SHARE * min(beam_deg, 180.0)))
        found.append(
            AimNow(
                stand=stand.name,
                azimuth_deg=aim.azimuth_deg,
                elevation_deg=aim.elevation_deg,
                range_m=aim.range_m,
                beam_deg=beam_deg,
                data=Freshness.of_need(place.most_within_m, need_m),
            )
        )
    return tuple(found)
