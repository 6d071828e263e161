"""Glider section: wing, polar, speeds and sinks, and the glides timed with it."""

import math
from collections.abc import Iterator
from typing import Final

from farglide.errors import Problem
from farglide.flightfile.entries import Entry, Section
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, choice, guess, needed, shares, typical
from farglide.flightfile.reading.reader import Reader
from farglide.flightfile.standins import fill_glider
from farglide.flightfile.wing import flattest_ratio, induced_drag_factor
from farglide.glider.fit import TimedGlide
from farglide.glider.limits import WING_RANGES as WING
from farglide.sortie.gear import GliderSpec

LIFTS: Final = (0.2, 3.0)  # the range of lift_max
_GLIDE_RATIOS: Final = (2.0, 30.0)
_WING: Final = ("area_m2", "span_m", "chord_m", "aspect_ratio")
_WING_SLACK: Final = 1.25
_GLIDE_SLACK: Final = 0.01
_WING_LOADINGS_KGPM2: Final = (0.3, 60.0)
_THREE: Final = "three timed glides at three speeds from a known height in calm air"
_MEASURE: Final = "measure span and chord"
_SINK: Final = shares(0.15, 0.3, 0.5)

_GLIDER_ROWS: Final = (
    needed("mass", unit.MASS, WING["mass_kg"], "the glider weighs"),
    Quantity("area", unit.AREA, WING["area_m2"], "its wing area is", settle=_MEASURE),
    Quantity("span", unit.LENGTH, (0.1, 12.0), "its span is"),
    Quantity("chord", unit.LENGTH, WING["chord_m"], "its mean chord is", settle=_MEASURE),
    Quantity("aspect_ratio", unit.PURE, WING["aspect_ratio"], "its aspect ratio is",
             settle=_MEASURE),
    guess("span_efficiency", unit.RATIO, WING["span_efficiency"], "its span efficiency is", 0.75,
          settle=_THREE),
    guess("zero_lift_drag", unit.PURE, WING["zero_lift_drag"],
          "its drag coefficient without lift is", 0.035, settle=_THREE),
    Quantity("glided", unit.DISTANCE, (10.0, 50_000.0),
             "in a glide in calm air, flown as flat as it goes, its way over the ground was",
             settle=_THREE),
    Quantity("glided_from_agl", unit.HEIGHT, (3.0, 3000.0),
             "and that began at a height above the ground of"),
    typical("reference_reynolds", unit.PURE, WING["reference_reynolds"],
            "that drag holds from a Reynolds number of", 200_000.0),
    # from memory: about this much below the laminar separation of small wings
    typical("reynolds_exponent", unit.PURE, WING["reynolds_exponent"],
            "and grows below it with the exponent", 0.4),
    guess("lift_max", unit.PURE, WING["lift_max"], "its greatest lift coefficient is", 0.85,
          settle="fly it slower and slower at low height until it stalls, and note the speed"),
    Quantity("stall_eas", unit.SPEED, (2.0, 40.0), "it stalls at an equivalent airspeed of"),
    Quantity("top_eas", unit.SPEED, (4.0, 100.0), "its top equivalent airspeed is",
             settle="the fastest speed flown at low height without flutter"),
    Quantity("top_mach", unit.PURE, (0.1, 0.95), "its top Mach number is",
             settle="the greatest Mach number of earlier flights"),
    guess("glide_factor", unit.PURE, (0.3, 2.0), "its glide ratio is multiplied by", 1.0,
          doubt=shares(0.10, 0.15, 0.25), settle=_THREE),
    choice("flown", unit.RATIO, (0.3, 1.0),
           "flown by hand and picture, it gets of that glide ratio a share of", 0.85),
    # common practice, no source
    choice("speed_margin", unit.RATIO, (0.0, 0.5),
           "of its top speed and Mach number the way home leaves unused a share of", 0.05),
    choice("gentle_bank", unit.ANGLE, (5.0, 60.0), "it circles gently at a bank of", 30.0),
    Quantity("hands_off_sink_eas", unit.SPEED, (0.2, 40.0),
             "hands off it sinks, as at sea level, at",
             doubt=_SINK, settle="hands off for 60 s at low height"),
    Quantity("spiral_sink_eas", unit.SPEED, (0.2, 60.0),
             "in a firm spiral it sinks, as at sea level, at",
             doubt=_SINK, settle="a firm spiral through 100 m at low height, timed"),
    Quantity("spin_sink_eas", unit.SPEED, (0.5, 80.0), "in a spin it sinks, as at sea level, at",
             doubt=_SINK, settle="a forced spin at low height, timed"),
)  # fmt: skip
_GLIDE_ROWS: Final = (
    needed("from_agl", unit.HEIGHT, (5.0, 3000.0), "it began at a height above the ground of"),
    needed("duration", unit.TIME, (1.0, 3600.0), "it lasted"),
    Quantity("distance", unit.DISTANCE, (10.0, 50_000.0), "its way over the ground was"),
    Quantity("speed_eas", unit.SPEED, (2.0, 100.0), "it was flown at"),
    Quantity("ground_amsl", unit.HEIGHT, (-450.0, 6000.0),
             "the ground below it, left out that of the launch, lies above mean sea level at"),
)  # fmt: skip


def glider_of(one: Entry) -> GliderSpec:
    """Return a glider found without problems."""
    return one.spec(GliderSpec, span_efficiency=one.value("span_efficiency_ratio"))


def timed_glide(one: Entry) -> TimedGlide:
    """Return a timed glide found without problems."""
    lost_m, eas_mps = one.value("from_agl_m"), one.stated("speed_eas_mps")
    return one.spec(TimedGlide, height_lost_m=lost_m, eas_mps=eas_mps)


def glide_amsl_m(one: Entry, launch_amsl_m: float) -> float:
    """Return the middle height of a timed glide; it was flown over the launch if nothing else."""
    ground_m = one.stated("ground_amsl_m")
    return (launch_amsl_m if ground_m is None else ground_m) + 0.5 * one.value("from_agl_m")


def glider_problems(one: Entry) -> Iterator[Problem]:
    """Yield measures of the wing and numbers of the polar that cannot hold together."""
    yield from _wing(one)
    k = induced_drag_factor(one.value("aspect_ratio"), one.value("span_efficiency_ratio"))
    ratio, (low, high) = 0.5 / math.sqrt(one.value("zero_lift_drag") * k), _GLIDE_RATIOS
    if ratio < low or ratio > high:
        what = f"with aspect ratio and span efficiency give a best glide ratio of {ratio:.1f}."
        remedy = f"Allowed: {low:g} to {high:g}. Is zero_lift_drag right?"
        yield one.problem("zero_lift_drag", what, remedy)
    factor = one.value("glide_factor")
    if low <= ratio <= high and not low <= factor * ratio <= high and not math.isnan(factor):
        what = f"makes {factor * ratio:.1f} of a best glide ratio of {ratio:.1f}."
        remedy = f"Allowed: {low:g} to {high:g}. It is a correction of a few tenths, mostly 1."
        yield one.problem("glide_factor", what, remedy)
    yield from _one_glide(one)
    lift, (low, high) = one.value("lift_max"), LIFTS
    if one.given("stall_eas_mps") and (lift < low or lift > high):
        what = f"asks for a lift coefficient of {lift:.2f} with this mass and area."
        remedy = f"Allowed: {low:g} to {high:g}. Check speed, mass, area."
        yield one.problem("stall_eas", what, remedy)


def _one_glide(one: Entry) -> Iterator[Problem]:
    """Yield one glide told by half, told besides a stated drag, or too flat for this wing."""
    far, high = one.given("glided_m"), one.given("glided_from_agl_m")
    if far != high:
        lacks = "glided_from_agl_m" if far else "glided_m"
        yield one.problem(lacks, "is missing: a glide has its way and its height.", "Write both.")
    elif far and one.given("zero_lift_drag"):
        what = "and glided_m say the same thing twice."
        yield one.problem("zero_lift_drag", what, "Keep one of them.")
    elif far:
        ratio, (least, most) = one.value("glided_m") / one.value("glided_from_agl_m"), _GLIDE_RATIOS
        if math.isnan(ratio):
            return  # one of them is refused by itself
        reached = flattest_ratio(one.numbers)
        if not least <= ratio <= most or abs(reached / ratio - 1.0) > _GLIDE_SLACK:
            what = f"makes {_digits(ratio)} m of way in a metre of height."
            fits = f"{least:g} to {min(most, max(reached, least)):.1f} with this wing"
            remedy = f"Allowed: {fits}. Check way and height, and that there was no wind."
            yield one.problem("glided_m", what, remedy)


def _wing(one: Entry) -> Iterator[Problem]:
    wing = {key: one.value(key) for key in _WING if one.given(key)}
    area, span, chord, aspect = (wing.get(key, math.nan) for key in _WING)
    pairs = (
        ("area", "span × chord", area, span * chord, " m²"),
        ("aspect_ratio", "span² / area", aspect, span**2 / area, ""),
        ("aspect_ratio", "area / chord²", aspect, area / chord**2, ""),
        ("aspect_ratio", "span / chord", aspect, span / chord, ""),
    )
    for name, law, stated, implied, ending in pairs:
        if stated > _WING_SLACK * implied or implied > _WING_SLACK * stated:
            what = f"is {stated:.4g}{ending}, but {law} gives {implied:.4g}{ending}."
            yield one.problem(name, what, "Leave out the one you trust least.")
            break
    loading, (low, high) = one.value("mass_kg") / one.value("area_m2"), _WING_LOADINGS_KGPM2
    if loading < low or loading > high:
        what = f"and area make a wing loading of {loading:.3g} kg/m²; allowed: {low} to {high}."
        yield one.problem("mass", what, "Check the units of both.")


def glide_problems(glider: Entry, glides: list[Entry]) -> Iterator[Problem]:
    """Yield timed glides that tell no polar, or tell it besides a stated one."""
    if not glides:
        return
    if glider.given("glided_m"):
        what = "and the timed glides say the same thing twice."
        yield glider.problem("glided_m", what, "Keep one of them.")
    if len(glides) < 3:
        what = f"are {len(glides)}; allowed: three or more, at three speeds."
        yield Problem("[[glider.timed_glides]]", what, "Fly the missing ones, or state the polar.")
    for key in ("zero_lift_drag", "span_efficiency_ratio"):
        if glider.given(key):
            what = "and the timed glides say the same thing twice."
            yield glider.problem(key, what, "Keep one of them.")
    for one in glides:
        yield from _glide(one)


def _glide(one: Entry) -> Iterator[Problem]:
    by_distance = one.given("distance_m")
    if by_distance == one.given("speed_eas_mps"):
        what = "needs the distance or the airspeed, one of them."
        yield one.problem("", what, "Write distance_m or speed_eas_mps.")
    fall_m, way_m = one.value("from_agl_m"), one.value("distance_m")
    if not by_distance:
        way_m = one.value("speed_eas_mps") * one.value("duration_s")
    if way_m <= fall_m or way_m > 40.0 * fall_m:
        what = f"makes {_digits(way_m / fall_m)} m of way in a metre of height."
        remedy = "Allowed: more than 1, up to 40. Check heights, times and speeds."
        yield one.problem("", what, remedy)


def _finish_glider(reader: Reader, one: Entry) -> None:
    reader.known_keys.add("timed_glides")
    if one.given("lift_max") and one.given("stall_eas_mps"):
        reader.refuse("lift_max and stall_eas", "say the same thing twice.", "Keep one of them.")
    fill_glider(one.numbers)


GLIDER: Final = Section(
    name="glider",
    about="Any two of area, span, chord and aspect ratio set the wing. One glide, ``glided`` and "
    "``glided_from_agl``, sets the drag without lift, as *typical*; three timed ones fit all.",
    rows=_GLIDER_ROWS,
    texts=("airframe",),
    finish=_finish_glider,
    words={
        "airframe": "which glider it is: ``farglide review`` learns from flights of one together",
        "timed_glides": "a list of ``[[glider.timed_glides]]``, see below: the polar is fitted "
        "to them",
    },
)
GLIDES: Final = Section(
    name="glider.timed_glides",
    noun="glide",
    about="Glides timed in calm air at low height, three or more at different speeds; each with "
    "its airspeed or with its way over the ground.",
    rows=_GLIDE_ROWS,
)


def _digits(ratio: float) -> str:
    """Return a glide ratio; one that is next to nothing is not told as nothing.

    >>> _digits(86.67), _digits(0.0123)
    ('86.7', '0.012')
    """
    return f"{ratio:.1f}" if ratio >= 0.1 else f"{ratio:.2g}"
