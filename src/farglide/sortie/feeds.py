"""Feeds: where positions come from on the day, in which form, and what their source cannot do."""

import re
from dataclasses import dataclass
from pathlib import PurePath
from typing import Final, Literal, get_args

from farglide.errors import InputError

FeedFormat = Literal["nmea", "packet", "gpsd", "csv", "json", "mavlink"]
FeedOf = Literal["glider", "car", "second car"]
FeedHeight = Literal["as sent", "sea level", "ellipsoid", "pressure"]
WhereKind = Literal["serial", "tcp", "udp", "file"]

FORMATS: Final[tuple[str, ...]] = get_args(FeedFormat)
CARRIERS: Final[tuple[str, ...]] = get_args(FeedOf)
HEIGHTS: Final[tuple[str, ...]] = get_args(FeedHeight)
WHERE_WAYS: Final = (
    "serial:/dev/ttyUSB0?baud=9600, tcp://127.0.0.1:2947, udp://:5005, file:PATH or "
    "file:PATH?follow"
)
USUAL_BAUD: Final = 9600
"""Bits a second of a serial port that says nothing else; common practice, no source."""
_BAUDS: Final = (300, 4_000_000)
_HOST_PORT: Final = re.compile(r"//(\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9_.-]*):(\d{1,5})", re.ASCII)
_BAUD: Final = re.compile(r"baud=(\d{1,8})", re.ASCII)
_LONGEST: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """Where the bytes of a feed come from: a serial port, a TCP or UDP port, or a file."""

    kind: WhereKind
    path: str = ""  # of the file or the serial port
    host: str = ""  # empty: every address of this machine
    port: int = 0
    baud: int = USUAL_BAUD
    follows: bool = False  # a file that is still written

    @property
    def text(self) -> str:
        """Return it as the flight file writes it.

        >>> where_of("serial:COM3").text
        'serial:COM3?baud=9600'
        """
        if self.kind == "serial":
            return f"serial:{self.path}?baud={self.baud}"
        if self.kind == "file":
            return f"file:{self.path}{'?follow' * self.follows}"
        return f"{self.kind}://{self.host}:{self.port}"


def of_name(name: str) -> FeedOf:
    """Return whose feed a name says it is: one that is called car, or car and more, is the car's.

    >>> of_name("car roof"), of_name("tracker"), of_name("carrier")
    ('car', 'glider', 'glider')
    """
    return "car" if name.split()[:1] and name.split()[0].lower() == "car" else "glider"


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedSpec:
    """One feed as the flight file states it, and the limits of what sends it."""

    name: str
    where: Where
    format: FeedFormat
    of: FeedOf = "glider"
    link: str = ""  # by which link of the flight it comes; empty: by that of its name
    height: FeedHeight = "as sent"
    sender: str = ""  # call sign with its number, of "packet": others are not taken
    columns: tuple[str, ...] = ()  # of "csv" and "json": "2=lat_deg"
    has_checksum: bool = True  # each line, of "nmea"
    error_m: float = 10.0  # one standard deviation of a position
    stops_above_m: float | None = None  # the receiver gives no position above
    sensor_ends_pa: float | None = None  # and the pressure sensor none below


def where_of(text: str) -> Where:
    """Return where a feed comes from, out of one line of the flight file or of a command.

    Raises InputError.

    >>> where_of("tcp://127.0.0.1:2947").port
    2947
    >>> where_of("file:last flight.log?follow").follows
    True
    """
    kind, colon, rest = text.strip().partition(":")
    ways = {"serial": _serial, "tcp": _port, "udp": _port, "file": _file}
    if not colon or kind not in ways or len(text) > _LONGEST or not text.isprintable():
        raise _refused(text)
    return ways[kind](text.strip(), rest)


def in_folder(where: Where, folder: PurePath) -> Where:
    """Return where a feed comes from, a file beside the flight file taken from its folder."""
    if where.kind != "file":
        return where
    return Where(kind="file", path=str(folder / where.path), follows=where.follows)


def _serial(text: str, rest: str) -> Where:
    path, mark, said = rest.partition("?")
    match = _BAUD.fullmatch(said)
    if not path or (mark and match is None):
        raise _refused(text)
    baud = int(match[1]) if match else USUAL_BAUD
    if not _BAUDS[0] <= baud <= _BAUDS[1]:
        allowed = f"{_BAUDS[0]} to {_BAUDS[1]} bits/s"
        raise InputError("baud", f"{baud} bits/s", allowed, "Look it up in the receiver's sheet.")
    return Where(kind="serial", path=path, baud=baud)


def _port(text: str, rest: str) -> Where:
    match = _HOST_PORT.fullmatch(rest)
    kind: WhereKind = "tcp" if text.startswith("tcp") else "udp"
    if match is None or (kind == "tcp" and not match[1]):
        raise _refused(text)
    port = int(match[2])
    if not 1 <= port <= 65_535:
        raise InputError("port", port, "1 to 65535", "Write the number of the port behind the :.")
    return Where(kind=kind, host=match[1].strip("[]"), port=port)


def _file(text: str, rest: str) -> Where:
    path, mark, said = rest.rpartition("?") if "?" in rest else (rest, "", "")
    if not path or (mark and said != "follow"):
        raise _refused(text)
    return Where(kind="file", path=path, follows=bool(mark))


def _refused(text: str) -> InputError:
    return InputError("from", ascii(text[:_LONGEST]), WHERE_WAYS, "Write it in one of these ways.")
