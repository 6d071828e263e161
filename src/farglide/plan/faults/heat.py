"""Heat: how warm each transmitter gets along the flight as planned."""

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.chances import stretches
from farglide.chances.ensemble import Ensemble
from farglide.earth.sun import horizon_dip_deg, sun_position
from farglide.outlook.faults import TransmitterHeat
from farglide.plan.home.homeward import Homeward
from farglide.power.heat import Body, temperatures_k
from farglide.rig.profile import FlightProfile, around_of, planned_profile
from farglide.sortie.spec import CaseSpec, Launch, LinkSpec


def transmitter_heats(
    plain: Ensemble, moment: int, flight: Homeward | None
) -> tuple[TransmitterHeat, ...]:
    """Return how warm each transmitter gets whose heat and case the flight file states.

    The flight is the one without errors: the climb to the moment of the release, the glide with
    most height that ends in time (else the flattest), and best glide down from its end. Without a
    flight home the glide goes straight down. On the ground the air stands still; aboard it passes
    with the stated share of the airspeed. The case begins as warm as the air when the first pack is
    switched on, and radiates to walls at the air's temperature.
    """
    links = [link for link in plain.sortie.links if link.case is not None]
    if not links:
        return ()
    climbed_m = plain.climbs.tracks.amsl_m[0, : moment + 1]
    glide, step_s = flight.flown if flight else None, plain.climbs.tracks.step_s
    profile = planned_profile(plain.sortie, plain.air.column, (climbed_m, step_s), glide)
    return tuple(
        _told(link, case_k(plain, link.case, profile), profile, moment * step_s)
        for link in links
        if link.case
    )


def _told(
    link: LinkSpec, warm_k: FloatArray, profile: FlightProfile, release_s: float
) -> TransmitterHeat:
    after_s, limit_k = profile.after_launch_s, link.case.limit_k if link.case else None
    j = int(np.argmax(warm_k))
    return TransmitterHeat(
        link=link.name,
        at_launch_k=float(np.interp(0.0, after_s, warm_k)),
        at_release_k=float(np.interp(release_s, after_s, warm_k)),
        hottest_k=float(warm_k[j]),
        hottest_after_launch_s=float(after_s[j]),
        hottest_amsl_m=float(profile.amsl_m[j]),
        limit_k=limit_k,
        over_limit=tuple(
            (float(after_s[a]), float(after_s[min(past, len(after_s) - 1)]))
            for a, past in (stretches(warm_k > limit_k) if limit_k is not None else ())
        ),
    )


def case_k(plain: Ensemble, case: CaseSpec, profile: FlightProfile) -> FloatArray:
    """Return the temperature of a transmitter along a profile."""
    body = Body(
        mass_kg=case.mass_kg,
        specific_heat_jpkgk=case.specific_heat_jpkgk,
        area_m2=case.area_m2,
        size_m=float(np.sqrt(case.area_m2 / 6.0)),  # the side of a cube of that area
        emissivity_ratio=case.emissivity_ratio,
    )
    sunlit = _sunlit(plain.sortie.launch, profile) if case.sun_w else np.zeros(len(profile[0]))
    around = around_of(
        plain.air.column, profile, case.heat_w + case.sun_w * sunlit, case.flow_ratio
    )
    warm_k: FloatArray = temperatures_k(body, around, around.air_k[:, 0])[0]
    return warm_k


def _sunlit(launch: Launch, profile: FlightProfile) -> FloatArray:
    """Return 1 while the sun stands over the horizon seen from the height of the flight, else 0."""
    lit = [
        sun_position(launch.t_s + at_s, launch.lat_deg, launch.lon_deg).elevation_deg
        > -horizon_dip_deg(max(amsl_m, 0.0))
        for at_s, amsl_m in zip(profile.after_launch_s, profile.amsl_m, strict=True)
    ]
    return np.array(lit, dtype=np.float64)
