"""Plain sections: the flight, its launch, the doubt, the wish and the permissions."""

import math
from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from farglide.earth.clock import check_zone, seconds_from_datetime
from farglide.errors import InputError, Problem
from farglide.flightfile.entries import Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, Stated, choice, needed
from farglide.flightfile.reading.meant import tidy
from farglide.flightfile.reading.reader import Reader
from farglide.flightfile.sections.balloon import LEAST_CLIMB_M
from farglide.flightfile.sections.moment import launch_moment
from farglide.sortie.known import Tag
from farglide.sortie.spec import DoubtSpec, Launch, Wish

PERMISSIONS: Final = {
    "airspace": "the balloon in this airspace",
    "aircraft": "the glider out of sight after the release",
    "command_radio": "the radio that commands, in the air and on the ground",
    "picture_radio": "the radio that sends the picture, in the air",
    "land": "the land of launch and fields",
}
PERMISSION_STATES: Final = ("held", "asked", "not needed", "missing")
_D: Final = DoubtSpec()
_W: Final = Wish()
_BRING_TO: Final = ("home", "any")

_LAUNCH_ROWS: Final = (
    needed("lat", unit.ANGLE, (-88.0, 88.0), "the launch place lies at latitude"),
    needed("lon", unit.ANGLE, (-180.0, 180.0), "the launch place lies at longitude"),
    Quantity("amsl", unit.HEIGHT, (-430.0, 6000.0), "its height above mean sea level is",
             settle="read it off a topographic map"),
    Quantity("may_drive", unit.TIME, (0.0, 86_400.0),
             "from home to where it is launched the crew may drive", choice=True),
)  # fmt: skip
_DOUBT_ROWS: Final = (
    choice("deep_wind", unit.SPEED, (0.0, 30.0),
           "the winds as a whole may be off, below 12 km (above 18 km 0.8 of it), by"),
    choice("deep_wind", unit.RATIO, (0.0, 1.0),
           "and along themselves by a share of their speed of"),
    choice("deep_wind_depth", unit.HEIGHT, (100.0, 20_000.0),
           "such an error reaches up and down over"),
    choice("shallow_wind", unit.SPEED, (0.0, 30.0), "waves and gusts in them may be off by"),
    choice("shallow_wind_depth", unit.HEIGHT, (50.0, 5000.0),
           "such an error reaches up and down over"),
    choice("beyond", unit.SPEED, (0.0, 60.0),
           "above the top of the sounding the winds may be off by", _D.beyond_mps),
    choice("vertical", unit.SPEED, (0.0, 5.0), "the air itself rises or sinks by", _D.vertical_mps),
    Quantity("ascent", unit.RATIO, (0.0, 0.5),
             "in place of the drag's doubt the mean climb may be off by a share of", choice=True),
    # 47 open soundings above 20 km: 10 to 90 % within 0.11 either way in every band to 35 km
    choice("ascent_band", unit.RATIO, (0.0, 0.5),
           "the climb through 5 km of height may be off its mean by a share of",
           _D.ascent_band_ratio),
)  # fmt: skip
_WISH_ROWS: Final = (
    choice("wanted_amsl", unit.HEIGHT, (0.0, 45_000.0),
           "releases count from a height above mean sea level of", _W.wanted_amsl_m),
    choice("least", unit.RATIO, (0.01, 0.99),
           "a release from the wanted height is planned, and no lower one, down to a chance of",
           _W.least_ratio),
    choice("arrival_agl", unit.HEIGHT, (0.0, 5000.0),
           "a field is in reach when the glider comes over it at a height of", _W.arrival_agl_m),
    choice("enough", unit.RATIO, (0.1, 0.99),
           "the day serves its purpose from a chance of", _W.enough_ratio),
    choice("open", unit.RATIO, (0.05, 0.99),
           "a field is called open from a chance of", _W.open_ratio),
    choice("doubtful", unit.RATIO, (0.0, 1.0), "and doubtful from a chance of", _W.doubtful_ratio),
    # common practice, no source
    choice("ground_wind_limit", unit.SPEED, (0.5, 30.0),
           "the balloon is filled up to a ground wind of", _W.ground_wind_limit_mps),
)  # fmt: skip


_TELLS: Final = "age, distance and lead time of the winds tell it"
_ONE_DEPTH: Final = {
    "wind_mps": "deep_wind_mps", "wind_kt": "deep_wind_kt", "wind_ratio": "deep_wind_ratio",
    "wind_percent": "deep_wind_percent", "wind_depth_m": "deep_wind_depth_m",
    "wind_depth_ft": "deep_wind_depth_ft",
}  # fmt: skip
"""Keys of the doubt when it had one depth, and what they are nearest to now."""


def launch_of(flight: Entry, launch: Entry) -> Launch:
    """Return place and time of a launch found without problems."""
    return launch.spec(Launch, t_s=flight.value("launch_t_s"), zone=flight.texts["zone"])


def launch_problems(launch: Entry) -> Iterator[Problem]:
    """Yield that no launch place is stated."""
    if launch.place == (0.0, 0.0):
        remedy = "Write lat_deg and lon_deg of the place where the balloon leaves the hand."
        yield launch.problem("lat_deg, lon_deg", "are 0, 0: no launch place.", remedy)


def wish_problems(wish: Entry, launch_amsl_m: float, balloon: Entry) -> Iterator[Problem]:
    """Yield wishes that exclude each other, are met before the launch, or never can be."""
    if wish.value("doubtful_ratio") >= wish.value("open_ratio"):
        what = f"is {wish.told('doubtful_ratio')}, not below {wish.written('open_ratio')}."
        yield wish.problem("doubtful_ratio", what, "Open asks for a better chance than doubtful.")
    elif wish.value("doubtful_ratio") > wish.value("enough_ratio"):
        what = f"is {wish.told('enough_ratio')}, a chance that is not even doubtful."
        doubtful = f"{wish.told('doubtful_ratio')} ({wish.written('doubtful_ratio')})"
        remedy = f"Allowed: {doubtful} or more."
        yield wish.problem("enough_ratio", what, remedy)
    if wish.value("least_ratio") > wish.value("enough_ratio"):
        what = f"is {wish.told('least_ratio')}, more than {wish.written('enough_ratio')}."
        enough = f"{wish.told('enough_ratio')} ({wish.written('enough_ratio')})"
        remedy = f"Allowed: {enough} or less."
        yield wish.problem("least_ratio", what, remedy)
    wanted_m = wish.value("wanted_amsl_m")
    if wanted_m < launch_amsl_m:
        what = f"is {wanted_m:.0f} m, below the launch at {launch_amsl_m:.0f} m."
        yield wish.problem("wanted_amsl_m", what, "Write a height above mean sea level.")
    burst_m = balloon.stated("burst_height_amsl_m")
    low_m = launch_amsl_m + LEAST_CLIMB_M  # a lower burst is refused by itself
    if burst_m is not None and wanted_m >= burst_m > low_m:
        what = f"is {wanted_m:.0f} m, but [balloon] asks for a burst at {burst_m:.0f} m."
        yield wish.problem("wanted_amsl_m", what, "Wish for less, or fill for a higher burst.")


def zone_text(offset: timedelta) -> str:
    """Return a fixed offset from UTC as the flight file writes it.

    >>> zone_text(timedelta(hours=-3, minutes=-30)), zone_text(timedelta(0))
    ('UTC-03:30', 'UTC')
    """
    minutes = round(offset.total_seconds() / 60.0)
    if not minutes:
        return "UTC"
    return f"UTC{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def _finish_flight(reader: Reader, one: Entry) -> None:
    """Read the moment of the launch, as seconds and as the offset of its clock, and the zone."""
    zone = reader.text("zone")
    moment = launch_moment(reader, zone)
    offset = timedelta(0)
    if moment is not None:
        offset = moment.utcoffset() or offset
        zone = zone or zone_text(offset)
    try:
        check_zone(zone or "UTC")
    except InputError as error:
        reader.refuse_value("zone", tidy(zone), error.allowed, error.remedy)
    one.texts["zone"] = zone
    one.numbers["launch_t_s"] = _exact(seconds_from_datetime(moment) if moment else math.nan)
    one.numbers["launch_offset_h"] = _exact(offset.total_seconds() / 3600.0)


def _exact(value: float) -> Stated:
    return Stated(value=value, sd=0.0, tag=Tag.MEASURED, given=True)


def _finish_doubt(reader: Reader, one: Entry) -> None:
    """Refuse keys of a doubt with one depth, and a shallow error deeper than the deep one."""
    for key in [key for key in reader.table if key in _ONE_DEPTH]:
        reader.raw(key)
        what = "is of a doubt with one depth; the doubt about winds has two."
        reader.refuse(key, what, f"Take it out, then {_TELLS}; or write {_ONE_DEPTH[key]}.")
    shallow_m, deep_m = (one.value(f"{way}_wind_depth_m") for way in ("shallow", "deep"))
    if shallow_m > deep_m:
        what = f"is {shallow_m:g} m, more than deep_wind_depth_m of {deep_m:g} m."
        reader.refuse("shallow_wind_depth_m", what, "The deep error reaches farther: swap them.")


def _finish_launch(reader: Reader, one: Entry) -> None:
    if "name" not in reader.table:
        one.name = "the launch place"


FLIGHT: Final = Section(
    name="flight",
    texts=("name",),
    finish=_finish_flight,
    words={
        "name": "what the flight is called; else the name of the file",
        "launch_at": "**required.** Date, time and offset from UTC, without quotes: "
        "``2027-06-15T09:30:00+02:00``",
        "zone": 'zone of the printed times, a name such as ``"Europe/Vienna"`` or '
        '``"UTC+02:00"``; else the offset of ``launch_at``',
    },
)
LAUNCH: Final = Section(
    name="launch",
    about="Where the balloon leaves the hand.",
    rows=_LAUNCH_ROWS,
    texts=("name",),
    finish=_finish_launch,
    words={
        "name": "the launch place; with ``may_drive_min`` no spot is advised that lies farther "
        "from home by road, see :doc:`launch`"
    },
)
DOUBT: Final = Section(
    name="doubt",
    about="Standard deviations of the air and of the climb. The winds err in two ways: *shallow*, "
    "as waves and gusts do, which averages out over a climb, and *deep*, as the weather does. "
    f"What is left out, {_TELLS} (:doc:`winds`).",
    rows=_DOUBT_ROWS,
    finish=_finish_doubt,
)
WISH: Final = Section(
    name="wish",
    about="What the day is for: back to where, from which height, with how much chance.",
    rows=_WISH_ROWS,
    choices={"bring_to": (_BRING_TO, "any")},
    words={
        "bring_to": '``"home"``: the first field counts, and others only where it has no chance; '
        '``"any"``: the first field in your order that has a chance good enough; left out: '
        '``"any"``',
    },
)
PERMITS: Final = Section(
    name="permissions",
    about="What is held and what is missing. Nothing is judged here; a missing one is printed.",
    choices=dict.fromkeys(PERMISSIONS, (PERMISSION_STATES, "missing")),
    words={
        key: f'{what}; one of {quoted(PERMISSION_STATES)}; left out: ``"missing"``'
        for key, what in PERMISSIONS.items()
    },
)
