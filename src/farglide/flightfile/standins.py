"""What stands in for a number that the flight file leaves out, by class of balloon and glider."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from farglide.constants import SEA_LEVEL_DENSITY_KGPM3, STANDARD_GRAVITY_MPS2
from farglide.flightfile.reading.keys import Numbers, stand_in
from farglide.flightfile.wing import critical_mach, drag_of_glide, flattest_eas_mps, stall_of
from farglide.sortie.known import Tag

DRAG_TABLE: Final = (
    (5.0e4, 0.91), (1.0e5, 0.72), (1.5e5, 0.68), (2.5e5, 0.52), (4.0e5, 0.35), (6.0e5, 0.277),
    (9.0e5, 0.24),
)  # fmt: skip
"""Drag curve of a rising rubber balloon, (Reynolds number, C_d), constant outside.

Fitted by scripts/fit_drag.py to two things at once. How 47 open soundings above 20 km climb: median
speed in bands of 5 km over the mean of the climb 1.02, 1.01, 0.96, 0.94, 1.01, 1.08, 1.14. And to
published climbs near the ground: pilot balloons 1.08 at 4.9e4, 0.80 at 1.1e5, 0.55 to 0.73 at
1.7e5, 0.48 at 2.5e5 (Schmidt 1938; a German textbook of aerology); tables of typical performance
0.26 to 0.35 at 4.3e5 to 7.7e5 (WMO-No. 8, from memory, and a maker's table).
"""

MEAN_ASCENT_MPS: Final = 5.5  # common practice, no source: 5 to 6 m/s
_BURST_FILM_M: Final = 6.0e-6
_LATEX_DENSITY_KGPM3: Final = 930.0
_WING_LOADING_KGPM2: Final = 4.5  # small foam gliders of 0.3 to 1.5 kg: common practice, no source
_ASPECT_RATIO: Final = 5.0
_PULL_OVER_STALL: Final = 1.4


_WING: Final = ("area_m2", "span_m", "chord_m", "aspect_ratio")
_ORDER: Final = (Tag.MEASURED, Tag.TYPICAL, Tag.GUESS)


def worst(*tags: Tag) -> Tag:
    """Return the least trusted of some origins.

    >>> worst(Tag.MEASURED, Tag.TYPICAL).value
    'typical'
    """
    return max(tags, key=_ORDER.index)


def burst_diameter_m(mass_kg: float) -> float:
    """Return the diameter at which a latex balloon of this mass may burst: a guess, 15 %.

    Latex sounding balloons thin to about 6 micrometres of film before they tear, whatever their
    size: mass = 930 kg/m3 x pi D^2 x film. Source: from memory, no table of any maker; 910 kg/m3,
    as DIN EN 12524-2000 has it, would be 1.1 % in the diameter.

    >>> round(burst_diameter_m(1.0), 2)
    7.55
    """
    return math.sqrt(mass_kg / (math.pi * _LATEX_DENSITY_KGPM3 * _BURST_FILM_M))


def fill_glider(numbers: Numbers) -> None:
    """Put the stand-ins of the glider's missing numbers in their places: wing, stall, polar."""
    _fill_wing(numbers)
    mass_kg, area_m2 = numbers["mass_kg"].value, numbers["area_m2"].value
    stall = numbers["stall_eas_mps"]
    if stall.given:
        pressure_pa = 0.5 * SEA_LEVEL_DENSITY_KGPM3 * stall.value**2
        lift = mass_kg * STANDARD_GRAVITY_MPS2 / (pressure_pa * area_m2)
        stand_in(numbers, "lift_max", lift, worst(stall.tag, numbers["area_m2"].tag))
    glided_m, fell_m = numbers["glided_m"].value, numbers["glided_from_agl_m"].value
    if glided_m > fell_m:  # else nothing is stated, or refused
        stand_in(numbers, "zero_lift_drag", drag_of_glide(numbers, glided_m / fell_m), Tag.TYPICAL)
        numbers["zero_lift_drag"] = replace(numbers["zero_lift_drag"], fitted=True)
        stand_in(numbers, "glide_factor", numbers["glide_factor"].value, Tag.TYPICAL)
    elif not numbers["glide_factor"].tagged:
        polar = (numbers[key].tag for key in ("zero_lift_drag", "span_efficiency_ratio", "area_m2"))
        stand_in(numbers, "glide_factor", numbers["glide_factor"].value, worst(*polar))
    stand_in(numbers, "top_eas_mps", flattest_eas_mps(numbers), Tag.GUESS)
    stand_in(numbers, "top_mach", critical_mach(numbers["lift_max"].value), Tag.GUESS)


def fill_drop(numbers: Numbers, glider: Numbers) -> None:
    """Put the speed of the pull-out in its place, 1.4 times the stall, where it is left out.

    Source: common practice, no source.
    """
    stand_in(numbers, "pull_eas_mps", _PULL_OVER_STALL * stall_of(glider), Tag.GUESS)


def fill_grounds(launch: Numbers, fields: Sequence[Numbers], stands: Sequence[Numbers]) -> None:
    """Fill missing ground heights: the launch from the stated fields' mean, fields from it."""
    stated = [one["amsl_m"].value for one in fields if one["amsl_m"].given]
    known = [value for value in stated if not math.isnan(value)]
    stand_in(launch, "amsl_m", sum(known) / len(known) if known else 0.0, Tag.GUESS)
    for one in (*fields, *stands):
        stand_in(one, "amsl_m", launch["amsl_m"].value, Tag.GUESS)


def _fill_wing(numbers: Numbers) -> None:
    """Fill area, chord and aspect ratio from any two of them and the span, or from the mass."""
    given = {key: numbers[key] for key in _WING if numbers[key].given}
    area, tag = _area(given, numbers["mass_kg"].value)
    stand_in(numbers, "area_m2", area, tag)
    aspect, aspect_tag = _aspect(given, area)
    stand_in(numbers, "aspect_ratio", aspect, worst(tag, aspect_tag))
    stand_in(numbers, "chord_m", math.sqrt(area / aspect), worst(tag, aspect_tag))


def _area(given: Numbers, mass_kg: float) -> tuple[float, Tag]:
    value = {key: one.value for key, one in given.items()}
    tag = worst(Tag.MEASURED, *(one.tag for one in given.values()))
    if "area_m2" in value:
        return value["area_m2"], given["area_m2"].tag
    if "span_m" in value and "chord_m" in value:
        return value["span_m"] * value["chord_m"], tag
    if "aspect_ratio" in value and "span_m" in value:
        return value["span_m"] ** 2 / value["aspect_ratio"], tag
    if "aspect_ratio" in value and "chord_m" in value:
        return value["chord_m"] ** 2 * value["aspect_ratio"], tag
    if "span_m" in value:
        return value["span_m"] ** 2 / _ASPECT_RATIO, Tag.GUESS
    if "chord_m" in value:
        return value["chord_m"] ** 2 * _ASPECT_RATIO, Tag.GUESS
    return mass_kg / _WING_LOADING_KGPM2, Tag.GUESS


def _aspect(given: Numbers, area_m2: float) -> tuple[float, Tag]:
    if "aspect_ratio" in given:
        return given["aspect_ratio"].value, given["aspect_ratio"].tag
    if "span_m" in given:
        return given["span_m"].value ** 2 / area_m2, given["span_m"].tag
    if "chord_m" in given:
        return area_m2 / given["chord_m"].value ** 2, given["chord_m"].tag
    return _ASPECT_RATIO, Tag.GUESS
