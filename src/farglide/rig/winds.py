"""Winds: how far a flight's winds are from it, and how much they are doubted for that."""

from dataclasses import replace
from math import hypot, isfinite
from typing import Any, Final

from farglide.air.doubt import Apart, WindDoubt, is_beyond_fit, wind_doubt
from farglide.air.sounding import Sounding
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.sortie.spec import Sortie
from farglide.sortie.words import number_text

PLACELESS: Final = (
    "The winds do not say where they were taken: they are taken as from here, and nothing tells "
    "whether the launch place is right."
)
DATELESS: Final = "The winds do not say when they were taken: they are taken as fresh."
_STRONG_MPS: Final = 30.0


def apart_of(sortie: Sortie, sounding: Sounding) -> Apart:
    """Return how far winds are from the launch; what they do not say is taken as fresh and near.

    Winds from after the launch are as far from it as those from before.
    """
    launch, distance_m, lead_s = sortie.launch, 0.0, None
    if isfinite(sounding.lat_deg) and isfinite(sounding.lon_deg):
        there = Place(lat_deg=sounding.lat_deg, lon_deg=sounding.lon_deg, amsl_m=0.0)
        distance_m = geodesic(place_of(launch, 0.0), there).distance_m
    if isfinite(sounding.run_t_s):
        lead_s = max(launch.t_s - sounding.run_t_s, 0.0)
    age_s = abs(launch.t_s - sounding.t_s) if isfinite(sounding.t_s) else 0.0
    return Apart(age_s=age_s, distance_m=distance_m, lead_s=lead_s)


def wind_doubt_of(sortie: Sortie, sounding: Sounding) -> WindDoubt:
    """Return the doubt about a flight's winds; what the flight file states is taken instead.

    A deep error stated narrower, or less of it along the wind, changes less in the course of the
    flight, and less of a strong wind is error.
    """
    law, stated = wind_doubt(apart_of(sortie, sounding)), sortie.doubt
    told = {
        "shallow_mps": stated.shallow_wind_mps,
        "shallow_depth_m": stated.shallow_wind_depth_m,
        "deep_mps": stated.deep_wind_mps,
        "deep_ratio": stated.deep_wind_ratio,
        "deep_depth_m": stated.deep_wind_depth_m,
        "beyond_mps": stated.beyond_mps,
    }
    given: dict[str, Any] = {name: value for name, value in told.items() if value is not None}
    found = replace(law, **given)
    share = min(found.deep_mps / law.deep_mps, 1.0)
    return replace(
        found,
        growth_ratio=share,
        speed_growth_ratio=min(found.deep_ratio / law.deep_ratio, 1.0),
        slower_ratio=share**2 * law.slower_ratio,
    )


def wind_words(sortie: Sortie, sounding: Sounding) -> str:
    """Return in plain words how far the winds are from the flight, and how much they are doubted.

    The deep doubt is that of calm air; what speed adds along it is told beside it, as of 30 m/s.
    """
    apart, doubt = apart_of(sortie, sounding), wind_doubt_of(sortie, sounding)
    strong_mps = hypot(doubt.deep_mps, doubt.deep_ratio * _STRONG_MPS)
    is_later = isfinite(sounding.t_s) and sounding.t_s > sortie.launch.t_s
    told = (
        f"the winds are {_apart_words(apart, is_later)}: over deep layers they may be off by "
        f"{doubt.deep_mps:.1f} m/s, along a wind of {_STRONG_MPS:.0f} m/s by {strong_mps:.1f} m/s, "
        f"and in shallow layers by {doubt.shallow_mps:.1f} m/s more"
    )
    if is_beyond_fit(apart):
        told += "; no record tells how well such winds hold, so the doubt is taken wide"
    return told


def _apart_words(apart: Apart, is_later: bool) -> str:
    """Return age, distance and lead time in words."""
    hours, km = apart.age_s / 3600.0, apart.distance_m / 1000.0
    words = [f"{hours:.1f} h old" if hours < 2.95 else f"{hours:.0f} h old"]
    if is_later:
        words = [f"of {words[0].removesuffix(' old')} after the launch"]
    if hours < 0.05:
        words = ["of the time of the launch"]
    if km >= 1.0:
        words.append(f"from {number_text(km)} km away")
    if apart.lead_s is not None:
        words.append(f"forecast {apart.lead_s / 3600.0:.0f} h ahead")
    return ", ".join(words)
