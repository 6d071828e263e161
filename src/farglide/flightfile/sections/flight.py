"""Plain sections: the flight, its launch, the doubt, the wish and the permissions."""

import math
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

from farglide.earth.clock import check_zone, seconds_from_datetime
from farglide.errors import InputError, Problem
from farglide.flightfile.entries import Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, Stated, choice, needed
from farglide.flightfile.reading.reader import Reader, tidy
from farglide.sortie.spec import DoubtSpec, Launch, Tag, Wish

PERMISSIONS: Final = {
    "airspace": "the balloon in this airspace",
    "aircraft": "the glider out of sight after the release",
    "command_radio": "the radio that commands, in the air and on the ground",
    "picture_radio": "the radio that sends the picture, in the air",
    "land": "the land of launch and fields",
}
_STATES: Final = ("held", "asked", "not needed", "missing")
_YEARS: Final = (1980, 2099)
_EXAMPLE: Final = "launch_at = 2027-01-23T16:40:00+07:00"
_D: Final = DoubtSpec()
_W: Final = Wish()

_LAUNCH_ROWS: Final = (
    needed("lat", unit.ANGLE, (-88.0, 88.0), "the launch place lies at latitude"),
    needed("lon", unit.ANGLE, (-180.0, 180.0), "the launch place lies at longitude"),
    Quantity("amsl", unit.HEIGHT, (-430.0, 6000.0), "its height above mean sea level is",
             settle="read it off a topographic map"),
    Quantity("may_drive", unit.TIME, (0.0, 86_400.0),
             "from home to where it is launched the crew may drive", choice=True),
)  # fmt: skip
_DOUBT_ROWS: Final = (
    choice("wind", unit.SPEED, (0.0, 30.0), "the winds may be off by", _D.wind_mps),
    choice("wind", unit.RATIO, (0.0, 1.0), "and by a share of their speed of", _D.wind_ratio),
    choice("wind_depth", unit.HEIGHT, (100.0, 20_000.0),
           "such an error reaches up and down over", _D.wind_depth_m),
    choice("beyond", unit.SPEED, (0.0, 60.0),
           "above the top of the sounding the winds may be off by", _D.beyond_mps),
    choice("vertical", unit.SPEED, (0.0, 5.0), "the air itself rises or sinks by", _D.vertical_mps),
    choice("ascent", unit.RATIO, (0.0, 0.5),
           "the climb speed may be off by a share of", _D.ascent_ratio),
)  # fmt: skip
_WISH_ROWS: Final = (
    choice("wanted_amsl", unit.HEIGHT, (0.0, 45_000.0),
           "releases count from a height above mean sea level of", _W.wanted_amsl_m),
    choice("arrival_agl", unit.HEIGHT, (0.0, 5000.0),
           "a field is in reach when the glider comes over it at a height of", _W.arrival_agl_m),
    choice("open", unit.RATIO, (0.05, 1.0), "it is called open from a chance of", _W.open_ratio),
    choice("doubtful", unit.RATIO, (0.0, 1.0), "and doubtful from a chance of", _W.doubtful_ratio),
    # common practice, no source
    choice("ground_wind_limit", unit.SPEED, (0.5, 30.0),
           "the balloon is filled up to a ground wind of", _W.ground_wind_limit_mps),
)  # fmt: skip


def launch_of(flight: Entry, launch: Entry) -> Launch:
    """Return place and time of a launch found without problems."""
    return launch.spec(Launch, t_s=flight.value("launch_t_s"), zone=flight.texts["zone"])


def launch_problems(launch: Entry) -> Iterator[Problem]:
    """Yield that no launch place is stated."""
    if launch.place == (0.0, 0.0):
        remedy = "Write lat_deg and lon_deg of the place where the balloon leaves the hand."
        yield launch.problem("lat_deg, lon_deg", "are 0, 0: no launch place.", remedy)


def wish_problems(wish: Entry, launch_amsl_m: float) -> Iterator[Problem]:
    """Yield wishes that exclude each other, or are met before the launch."""
    if wish.value("doubtful_ratio") >= wish.value("open_ratio"):
        what = f"is {wish.value('doubtful_ratio'):g}, not below open_ratio."
        yield wish.problem("doubtful_ratio", what, "Open asks for a better chance than doubtful.")
    wanted_m = wish.value("wanted_amsl_m")
    if wanted_m < launch_amsl_m:
        what = f"is {wanted_m:.0f} m, below the launch at {launch_amsl_m:.0f} m."
        yield wish.problem("wanted_amsl_m", what, "Write a height above mean sea level.")


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
    moment = _launch_moment(reader)
    offset = timedelta(0)
    zone = reader.text("zone")
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


def _launch_moment(reader: Reader) -> datetime | None:
    moment = reader.raw("launch_at")
    if moment is None:
        what, remedy = "is missing.", f"Write date, time and offset: {_EXAMPLE}"
    elif not isinstance(moment, datetime):
        what = f"is {tidy(moment)}, not a date with a time."
        remedy = f"Write it without quotes, with date, time and offset: {_EXAMPLE}"
    elif moment.tzinfo is None:
        what = f"is {moment.isoformat()}, without a zone."
        remedy = f"Add Z for UTC or the offset of your clock: {_EXAMPLE}"
    elif not _YEARS[0] <= moment.year <= _YEARS[1]:
        what = f"is {moment.isoformat()}; allowed: the years {_YEARS[0]} to {_YEARS[1]}."
        remedy = ""
    else:
        return moment
    reader.refuse("launch_at", what, remedy)
    return None


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
    name="doubt", about="Standard deviations of the air and of the climb.", rows=_DOUBT_ROWS
)
WISH: Final = Section(name="wish", about="What the crew wants of the flight.", rows=_WISH_ROWS)
PERMITS: Final = Section(
    name="permissions",
    about="What is held and what is missing. Nothing is judged here; a missing one is printed.",
    choices=dict.fromkeys(PERMISSIONS, (_STATES, "missing")),
    words={
        key: f'{what}; one of {quoted(_STATES)}; left out: ``"missing"``'
        for key, what in PERMISSIONS.items()
    },
)
