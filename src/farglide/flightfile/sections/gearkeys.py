"""The numbers of the gear in a flight file: balloon, line, glider, drop and packs.

Ranges are wide: they catch slips of unit and sign, not unusual gear. Defaults marked typical are
common practice, no source, unless a comment names one; those marked guess are stand-ins.
"""

from typing import Final

from farglide.flightfile.reading.endings import (
    ANGLE,
    AREA,
    DISTANCE,
    ENERGY,
    HEIGHT,
    LEAK,
    LENGTH,
    MASS,
    POWER,
    PURE,
    RATIO,
    SPEED,
    STIFFNESS,
    TIME,
    WARMTH,
)
from farglide.flightfile.reading.keys import Doubt, quantity, shares
from farglide.glider.ranges import WING_RANGES
from farglide.sortie.spec import Tag

_TYPICAL: Final = Tag.TYPICAL
_TIMED_GLIDES: Final = "three timed glides at three speeds from a known height in calm air"
_MEASURE_WING: Final = "measure span and chord"
_FREEZER: Final = "run the whole rig in a freezer until it dies"

BALLOON: Final = (
    quantity("mass", MASS, (0.01, 6.0), "the balloon weighs", required=True),
    quantity(
        "burst_diameter",
        LENGTH,
        (0.3, 25.0),
        "it bursts at a diameter of",
        doubt=shares(0.06, 0.10, 0.15),
        settle="take the bursting diameter from the balloon's own sheet",
    ),
    quantity(
        "purity",
        RATIO,
        (0.5, 1.0),
        "the share of gas in the filling is",
        default=0.99,
        tag=_TYPICAL,
    ),
    quantity(
        "neck_lift",
        MASS,
        (0.02, 15.0),
        "the filled balloon carries at its neck",
        doubt=shares(0.015, 0.05, 0.15),
        settle="hang a known weight on the neck: the fill is right when it just floats",
    ),
    quantity("mean_ascent", SPEED, (1.0, 12.0), "the mean climb speed wanted is"),
    quantity("burst_height_amsl", HEIGHT, (2000.0, 45_000.0), "the burst height wanted is"),
    quantity(
        "drag_coefficient", PURE, (0.05, 2.0), "its drag coefficient, the whole climb through, is"
    ),
    quantity(
        "drag_factor",
        PURE,
        (0.3, 3.0),
        "the drag curve is multiplied by",
        default=1.0,
        doubt=shares(0.05, 0.10, 0.10),
        settle="fit it to the climb of an earlier flight with this kind of balloon",
    ),
    quantity(
        "gas_warmer",
        WARMTH,
        (-20.0, 50.0),
        "the gas is warmer than the air by",
        default=8.0,
        doubt=Doubt(measured=3.0, typical=6.0, guess=6.0, absolute=True),
        settle="0 K after sunset, 5 to 25 K in sun: fit it to an earlier climb",
    ),
    quantity(
        "film_stiffness",
        STIFFNESS,
        (0.0, 500.0),
        "the stretched film presses on the gas with a stiffness of",
        default=0.0,
        tag=_TYPICAL,
    ),
    quantity(
        "leak",
        LEAK,
        (0.0, 0.01),
        "the share of gas that leaks away at sea-level density is",
        default=0.0,
        tag=_TYPICAL,
    ),
)

TRAIN: Final = (
    quantity(
        "line",
        MASS,
        (0.0, 5.0),
        "line, hook and all between balloon and glider weigh",
        default=0.10,
        settle="weigh all that hangs below the neck in one go",
    ),
    quantity(
        "remains_drag_area",
        AREA,
        (0.01, 3.0),
        "burst latex, line and what is tied to it fall on a drag area C_d A of",
        default=0.2,
        doubt=shares(0.3, 0.5, 0.5),
        settle="time the fall of a torn balloon with its line",
    ),
    quantity("canopy", LENGTH, (0.1, 5.0), "a parachute on the line has a diameter of"),
    quantity(
        "canopy_drag",
        PURE,
        (0.2, 2.5),
        "the parachute's drag coefficient on its nominal area is",
        default=0.8,
        tag=_TYPICAL,
        choice=True,
    ),
)

GLIDER: Final = (
    quantity("mass", MASS, WING_RANGES["mass_kg"], "the glider weighs", required=True),
    quantity("area", AREA, WING_RANGES["area_m2"], "its wing area is", settle=_MEASURE_WING),
    quantity("span", LENGTH, (0.1, 12.0), "its span is"),
    quantity("chord", LENGTH, WING_RANGES["chord_m"], "its mean chord is", settle=_MEASURE_WING),
    quantity(
        "aspect_ratio",
        PURE,
        WING_RANGES["aspect_ratio"],
        "its aspect ratio is",
        settle=_MEASURE_WING,
    ),
    quantity(
        "span_efficiency",
        RATIO,
        WING_RANGES["span_efficiency"],
        "its span efficiency is",
        default=0.75,
        settle=_TIMED_GLIDES,
    ),
    quantity(
        "zero_lift_drag",
        PURE,
        WING_RANGES["zero_lift_drag"],
        "its drag coefficient without lift is",
        default=0.035,
        settle=_TIMED_GLIDES,
    ),
    quantity(
        "reference_reynolds",
        PURE,
        WING_RANGES["reference_reynolds"],
        "that drag holds from a Reynolds number of",
        default=200_000.0,
        tag=_TYPICAL,
    ),
    # from memory: about this much below the laminar separation of small wings
    quantity(
        "reynolds_exponent",
        PURE,
        WING_RANGES["reynolds_exponent"],
        "and grows below it with the exponent",
        default=0.4,
        tag=_TYPICAL,
    ),
    quantity(
        "lift_max",
        PURE,
        WING_RANGES["lift_max"],
        "its greatest lift coefficient is",
        default=0.85,
        settle="fly it slower and slower at low height until it stalls, and note the speed",
    ),
    quantity("stall_eas", SPEED, (2.0, 40.0), "it stalls at an equivalent airspeed of"),
    quantity(
        "top_eas",
        SPEED,
        (4.0, 100.0),
        "its top equivalent airspeed is",
        settle="the fastest speed flown at low height without flutter",
    ),
    quantity(
        "top_mach",
        PURE,
        (0.1, 0.95),
        "its top Mach number is",
        default=0.5,
        settle="the greatest Mach number of earlier flights",
    ),
    quantity(
        "glide_factor",
        PURE,
        (0.3, 2.0),
        "its glide ratio is multiplied by",
        default=1.0,
        doubt=shares(0.10, 0.15, 0.25),
        settle=_TIMED_GLIDES,
    ),
    quantity(
        "flown",
        RATIO,
        (0.3, 1.0),
        "flown by hand and picture, it gets of that glide ratio a share of",
        default=0.85,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "gentle_bank",
        ANGLE,
        (5.0, 60.0),
        "it circles gently at a bank of",
        default=30.0,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "hands_off_sink_eas",
        SPEED,
        (0.2, 40.0),
        "hands off it sinks, as at sea level, at",
        doubt=shares(0.15, 0.3, 0.5),
        settle="hands off for 60 s at low height",
    ),
    quantity(
        "spiral_sink_eas",
        SPEED,
        (0.2, 60.0),
        "in a firm spiral it sinks, as at sea level, at",
        doubt=shares(0.15, 0.3, 0.5),
        settle="a firm spiral through 100 m at low height, timed",
    ),
    quantity(
        "spin_sink_eas",
        SPEED,
        (0.5, 80.0),
        "in a spin it sinks, as at sea level, at",
        doubt=shares(0.15, 0.3, 0.5),
        settle="a forced spin at low height, timed",
    ),
)

GLIDE: Final = (
    quantity(
        "from_agl", HEIGHT, (5.0, 3000.0), "it began at a height above the ground of", required=True
    ),
    quantity("duration", TIME, (1.0, 3600.0), "it lasted", required=True),
    quantity("distance", DISTANCE, (10.0, 50_000.0), "its way over the ground was"),
    quantity("speed_eas", SPEED, (2.0, 100.0), "it was flown at"),
    quantity(
        "ground_amsl",
        HEIGHT,
        (-450.0, 6000.0),
        "the ground below it, left out that of the launch, lies above mean sea level at",
    ),
)

DROP: Final = (
    quantity(
        "drop_drag",
        PURE,
        (0.02, 3.0),
        "the falling glider has a drag coefficient of",
        default=0.10,
        doubt=shares(0.1, 0.3, 0.3),
        settle="film the first seconds of a drop against a measured wall",
    ),
    quantity(
        "pull_eas",
        SPEED,
        (3.0, 60.0),
        "the pull-out begins at an equivalent airspeed of",
        choice=True,
    ),
    quantity(
        "pull_load",
        PURE,
        (1.1, 15.0),
        "the load of the pull-out, in weights, is",
        default=2.0,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "level_angle",
        ANGLE,
        (1.0, 45.0),
        "the pull-out ends with the path below the horizon by",
        default=8.0,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "heading",
        TIME,
        (0.0, 1800.0),
        "until the way home is found it takes",
        default=60.0,
        doubt=shares(0.3, 0.5, 0.5),
        settle="rehearse it: turn slowly until the sun stands where the sun clock says",
    ),
)

PACK: Final = (
    quantity(
        "energy",
        ENERGY,
        (0.05, 1000.0),
        "its rated energy is",
        required=True,
        doubt=shares(0.03, 0.10, 0.20),
        settle=_FREEZER,
    ),
    quantity(
        "load",
        POWER,
        (0.005, 200.0),
        "it feeds a load of",
        required=True,
        settle="measure the current of the whole rig",
    ),
    # 60 to 75 % at -20 C: from memory
    quantity(
        "cold",
        RATIO,
        (0.05, 1.0),
        "the share of it that the cold leaves is",
        default=0.65,
        doubt=shares(0.05, 0.10, 0.15),
        settle=_FREEZER,
    ),
    quantity(
        "on_after_launch",
        TIME,
        (-21_600.0, 21_600.0),
        "it is switched on, counted from the launch, at",
        default=-900.0,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "reserve",
        TIME,
        (0.0, 7200.0),
        "kept in hand at its end are",
        default=180.0,
        tag=_TYPICAL,
        choice=True,
    ),
)
