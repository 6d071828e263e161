"""The numbers each section of a flight file may hold, with unit, range, default and doubt."""

from collections.abc import Mapping
from typing import Final

from farglide.atlas.fields import DIRECTIONS_DEG, LENGTHS_M
from farglide.flightfile.reading.endings import ANGLE, FAR, HEIGHT, HOURS, RATIO, SPEED, TIME
from farglide.flightfile.reading.keys import quantity, shares
from farglide.flightfile.sections.antennakeys import ENDS_KEYS
from farglide.flightfile.sections.gearkeys import BALLOON, DROP, GLIDE, GLIDER, PACK, TRAIN
from farglide.flightfile.sections.heatkeys import BOX, CASE
from farglide.flightfile.sections.partkeys import PART, TRIGGER, TRIGGER_COUNTS
from farglide.flightfile.sections.radiokeys import LINK, STAND, TERRAIN
from farglide.sortie.spec import DoubtSpec, Tag, Wish

_TYPICAL: Final = Tag.TYPICAL
_DOUBT: Final = DoubtSpec()
_WISH: Final = Wish()
_MAP: Final = "read it off a topographic map"

LAUNCH: Final = (
    quantity("lat", ANGLE, (-88.0, 88.0), "the launch place lies at latitude", required=True),
    quantity("lon", ANGLE, (-180.0, 180.0), "the launch place lies at longitude", required=True),
    quantity(
        "amsl",
        HEIGHT,
        (-430.0, 6000.0),
        "its height above mean sea level is",
        settle=_MAP,
    ),
)

FIELD: Final = (
    quantity("lat", ANGLE, (-89.0, 89.0), "it lies at latitude", required=True),
    quantity("lon", ANGLE, (-180.0, 180.0), "it lies at longitude", required=True),
    quantity("amsl", HEIGHT, (-430.0, 6000.0), "its height above mean sea level is", settle=_MAP),
    quantity("length", HEIGHT, LENGTHS_M, "the length usable for a landing is", choice=True),
    quantity("direction", ANGLE, DIRECTIONS_DEG, "one lands true along", choice=True),
)

CREW: Final = (
    # 5 to 15 s: common practice, no source
    quantity(
        "reaction",
        TIME,
        (0.0, 300.0),
        "from seeing to the moving pin it takes the crew",
        default=10.0,
        doubt=shares(0.3, 0.4, 0.5),
        settle="time it in a rehearsal",
    ),
    quantity(
        "repeats",
        TIME,
        (0.0, 600.0),
        "the time kept for repeats of the release command is",
        default=20.0,
        tag=_TYPICAL,
        choice=True,
    ),
    # ten minutes for most crews: common practice, no source
    quantity(
        "set_up",
        TIME,
        (0.0, 7200.0),
        "from stopping the car to a steady picture it takes",
        default=600.0,
        tag=_TYPICAL,
        settle="time it in a rehearsal",
    ),
)

DOUBT: Final = (
    quantity(
        "wind",
        SPEED,
        (0.0, 30.0),
        "the winds may be off by",
        default=_DOUBT.wind_mps,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "wind",
        RATIO,
        (0.0, 1.0),
        "and by a share of their speed of",
        default=_DOUBT.wind_ratio,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "wind_depth",
        HEIGHT,
        (100.0, 20_000.0),
        "such an error reaches up and down over",
        default=_DOUBT.wind_depth_m,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "beyond",
        SPEED,
        (0.0, 60.0),
        "above the top of the sounding the winds may be off by",
        default=_DOUBT.beyond_mps,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "vertical",
        SPEED,
        (0.0, 5.0),
        "the air itself rises or sinks by",
        default=_DOUBT.vertical_mps,
        tag=_TYPICAL,
        choice=True,
    ),
    quantity(
        "ascent",
        RATIO,
        (0.0, 0.5),
        "the climb speed may be off by a share of",
        default=_DOUBT.ascent_ratio,
        tag=_TYPICAL,
        choice=True,
    ),
)

WISH: Final = (
    quantity(
        "wanted_amsl",
        HEIGHT,
        (0.0, 45_000.0),
        "releases count from a height above mean sea level of",
        default=_WISH.wanted_amsl_m,
        choice=True,
    ),
    quantity(
        "arrival_agl",
        HEIGHT,
        (0.0, 5000.0),
        "a field is in reach when the glider comes over it at a height of",
        default=_WISH.arrival_agl_m,
        choice=True,
    ),
    quantity(
        "open",
        RATIO,
        (0.05, 1.0),
        "it is called open from odds of",
        default=_WISH.open_ratio,
        choice=True,
    ),
    quantity(
        "doubtful",
        RATIO,
        (0.0, 1.0),
        "and doubtful from odds of",
        default=_WISH.doubtful_ratio,
        choice=True,
    ),
    # common practice, no source
    quantity(
        "ground_wind_limit",
        SPEED,
        (0.5, 30.0),
        "the balloon is filled up to a ground wind of",
        default=_WISH.ground_wind_limit_mps,
        choice=True,
    ),
)

WIND: Final = (
    quantity(
        "accept_age",
        HOURS,
        (0.0, 240.0),
        "winds are taken up to an age of",
        default=3.0,
        choice=True,
    ),
    quantity(
        "accept_distance",
        FAR,
        (0.0, 2000.0),
        "and up to a distance of",
        default=100.0,
        choice=True,
    ),
)

SECTIONS: Final = {
    "launch": LAUNCH,
    "balloon": BALLOON,
    "train": TRAIN,
    "glider": GLIDER,
    "glider.timed_glides": GLIDE,
    "drop": DROP,
    "packs": (*PACK, *BOX),
    "fields": FIELD,
    "links": (*LINK, *ENDS_KEYS, *CASE),
    "stands": STAND,
    "triggers": TRIGGER,
    "parts": PART,
    "terrain": TERRAIN,
    "barriers": (),
    "doubt": DOUBT,
    "wish": WISH,
    "wind": WIND,
    "crew": CREW,
}
PERMISSIONS: Final = ("airspace", "aircraft", "command_radio", "picture_radio", "land")
PERMISSION_STATES: Final = ("held", "asked", "not needed", "missing")
COUNTS: Final = ("n_releases", "n_release_failures", "n_pullouts", "n_pullout_failures")
ENTRY_COUNTS: Final[Mapping[str, tuple[str, ...]]] = {"triggers": TRIGGER_COUNTS}
