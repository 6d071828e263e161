"""Preview: best glide, fill, burst and links of a flight file, by the laws that plan it."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from farglide.air.sounding import Sounding
from farglide.air.standard import standard_air
from farglide.balloon.envelope import diameter_m
from farglide.chances.ensemble import plain_climbs
from farglide.errors import InputError
from farglide.fall import parachute_story
from farglide.flightfile.flightfile import FlightFile, InputLine
from farglide.glider.polar import polar_stall_eas_mps, steady_glide
from farglide.outlook.preview import LinkReach, Preview
from farglide.radio.link import Link, largest_loss_db, reach_m
from farglide.rig.gear import SEA_LEVEL, best_glide_eas_mps, craft_of
from farglide.rig.links import link_of
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Launch, LinkSpec, Sortie

_STEP_M: Final = 500.0
_TOP_M: Final = 47_000.0
_KEPT_DB: Final = 6.0
_STANDARD: Final = "standard air"
_FITTED: Final = {
    "balloon.drag_factor": "drag_factor", "balloon.burst_diameter_m": "burst_diameter_m",
    "balloon.neck_lift_kg": "neck_lift_kg",
}  # fmt: skip
"""Numbers of the balloon that a stated climb or burst height may move."""


def still_air(launch: Launch) -> Sounding:
    """Return the standard atmosphere without wind over a launch, to look at a flight in."""
    heights_m = np.arange(-500.0, _TOP_M + 1.0, _STEP_M)
    air = [standard_air(float(gph_m)) for gph_m in heights_m]
    calm = np.zeros(len(heights_m))
    return Sounding(
        gph_m=heights_m,
        p_pa=np.array([one.p_pa for one in air]),
        t_k=np.array([one.t_k for one in air]),
        relative_humidity_ratio=calm,
        u_mps=calm,
        v_mps=calm,
        lat_deg=launch.lat_deg,
        lon_deg=launch.lon_deg,
        t_s=launch.t_s,
        origin=_STANDARD,
    )


def preview(sortie: Sortie, sounding: Sounding) -> Preview:
    """Return what a flight comes to in the air of a sounding, without errors; its fill is solved.

    Raises InputError where a link has a budget that no way on Earth fits.
    """
    polar, limits, _ = craft_of(sortie, Grain())
    eas_mps = best_glide_eas_mps(polar, limits)
    glide = steady_glide(polar, eas_mps, SEA_LEVEL, sortie.glider.glide_factor.value)
    climbs = plain_climbs(sortie, sounding, Grain())
    at_s, top_m = (float(one[0]) for one in climbs.burst[:2])
    bursts = at_s == at_s
    return Preview(
        air=_STANDARD if sounding.origin == _STANDARD else "the winds of its file",
        canopy_sink_mps=_canopy_sink_mps(sortie),
        glide_ratio=glide.level_mps / glide.sink_mps,
        flown_glide_ratio=sortie.glider.flown_ratio * glide.level_mps / glide.sink_mps,
        best_eas_mps=eas_mps,
        stall_eas_mps=polar_stall_eas_mps(polar),
        gas=sortie.balloon.gas,
        neck_lift_kg=sortie.balloon.neck_lift_kg.value,
        volume_m3=climbs.fill.volume_m3,
        fill_diameter_m=diameter_m(climbs.fill.volume_m3),
        burst_diameter_m=sortie.balloon.burst_diameter_m.value,
        mean_ascent_mps=(top_m - sortie.launch.amsl_m) / at_s if bursts else None,
        burst_amsl_m=top_m if bursts else None,
        burst_after_launch_s=at_s if bursts else None,
        links=tuple(_reaches(sortie.links)),
    )


def _canopy_sink_mps(sortie: Sortie) -> float | None:
    """Return how fast a payload comes down near sea level, None of a glider."""
    if sortie.payload is None:
        return None
    payload = sortie.payload
    return parachute_story(sortie.hanging_kg, payload.canopy_m, payload.canopy_drag).sink_eas_mps


def with_fitted_lines(before: FlightFile, after: FlightFile) -> FlightFile:
    """Return a flight after its fill was solved, with the lines of what that moved told as fitted.

    A number that moved by less than a part in 10 000 counts as the one that stands in the file.
    """
    balloon, other = before.sortie.balloon, after.sortie.balloon
    lines = []
    for line in after.inputs:
        name = _FITTED.get(f"{line.section}.{line.row.key}")
        if name is not None:
            line = _fitted(line, getattr(balloon, name).value, getattr(other, name).value)
        lines.append(line)
    return replace(after, inputs=tuple(lines))


def _fitted(line: InputLine, old: float, new: float) -> InputLine:
    if abs(new / old - 1.0) <= 1e-4:
        return line
    return replace(line, number=replace(line.number, value=new, fitted=True))


def _reaches(links: tuple[LinkSpec, ...]) -> Iterator[LinkReach]:
    for spec in links:
        ends = (spec.sender_end, spec.receiver_end)
        if any(end.pattern_paths and end.antenna is None for end in ends):
            continue  # its pattern is not there yet
        link = link_of(spec)
        yield LinkReach(
            name=spec.name,
            reach_m=named_reach_m(link),
            half_reach_m=named_reach_m(link, _KEPT_DB),
        )


def named_reach_m(link: Link, kept_db: float = 0.0) -> float:
    """Return a reach in free space; a budget that no way on Earth fits is refused by its name."""
    try:
        return reach_m(link, kept_db)
    except InputError as error:
        given = f"{largest_loss_db(link):.0f} dB between the antennas"
        remedy = "Check its powers, gains and threshold: dBm for watts, dBi, a minus sign."
        allowed = "6 to 300 dB"
        raise InputError(f"budget of link {link.name}", given, allowed, remedy) from error
