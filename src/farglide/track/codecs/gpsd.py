"""gpsd: positions of a receiver behind the daemon's JSON port.

Source: gpsd_json(5), manual page of gpsd 3.25 (2023), class TPV, from memory. Times there are
ISO 8601, heights in metres, speeds in metres a second, tracks in degrees from true north.
"""

import json
from collections.abc import Iterator, Mapping
from typing import Final

from farglide.earth.clock import seconds_from_text
from farglide.errors import is_number
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.lines import lines_of
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Fix, HeightKind, Raw, Report

WATCH: Final = b'?WATCH={"enable":true,"json":true};\n'
"""What the daemon on this machine must be told before it reports anything; it goes no farther."""
_IN_THE_PLANE, _IN_SPACE = 2, 3
Table = Mapping[str, object]


class GpsdCodec(Codec):
    """Fixes of one daemon: the mean sea level where it says that, else the ellipsoid."""

    def __init__(self, spec: FeedSpec) -> None:
        super().__init__(spec, lines_of(spec.where, rb"\}"))

    def _read(self, piece: bytes, raw: Raw) -> Iterator[Report]:
        said = json_table(piece)
        if said.get("class") != "TPV":
            raise UnreadError(Cause.UNKNOWN)
        mode = said.get("mode")
        if mode not in (_IN_THE_PLANE, _IN_SPACE) or isinstance(mode, bool | float):
            raise UnreadError(Cause.NO_FIX)
        lat_deg, lon_deg = number_in(said, "lat"), number_in(said, "lon")
        if lat_deg is None or lon_deg is None:
            raise UnreadError(Cause.NO_FIX)
        t_s = _t_s(said)
        self.check_new(t_s)
        height_m, kind = _height(said) if mode == _IN_SPACE else (None, HeightKind.SEA_LEVEL)
        yield Fix(
            feed=self.spec.name,
            lat_deg=lat_deg,
            lon_deg=lon_deg,
            t_s=t_s,
            height_m=height_m,
            height_kind=self.height_kind(kind),
            separation_m=number_in(said, "geoidSep"),
            speed_mps=number_in(said, "speed"),
            track_deg=number_in(said, "track"),
        )


def json_table(line: bytes) -> Table:
    """Return the JSON object of a line. Raises UnreadError.

    A line that begins as one and does not end so was cut.
    """
    try:
        said = json.loads(line)
    except (ValueError, RecursionError):
        begins = line.lstrip()[:1] == b"{" or line.rstrip()[-1:] == b"}"
        raise UnreadError(Cause.HALF if begins else Cause.NO_LINE) from None
    if not isinstance(said, dict):
        raise UnreadError(Cause.NO_LINE)
    return said


def number_in(said: Table, key: str) -> float | None:
    """Return a number, None where it is not said. Raises UnreadError where it is none."""
    value = said.get(key)
    if value is None:
        return None
    if not is_number(value) or not abs(value) < 1e18:
        raise UnreadError(Cause.RANGE)
    return float(value)


def _height(said: Table) -> tuple[float | None, HeightKind]:
    """Return the height; the key `alt` of old daemons counts from the mean sea level."""
    for key, kind in (
        ("altMSL", HeightKind.SEA_LEVEL),
        ("altHAE", HeightKind.ELLIPSOID),
        ("alt", HeightKind.SEA_LEVEL),
    ):
        height_m = number_in(said, key)
        if height_m is not None:
            return height_m, kind
    return None, HeightKind.SEA_LEVEL


def _t_s(said: Table) -> float | None:
    when = said.get("time")
    if when is None:
        return None
    if not isinstance(when, str):
        raise UnreadError(Cause.RANGE)
    return seconds_from_text(when)
