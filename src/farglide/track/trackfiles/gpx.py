"""GPX 1.1: one track for each feed."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from farglide.track.heights import amsl_m
from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.taking import Taking, TrackRead, unread
from farglide.track.trackfiles.times import seconds_of, time_text
from farglide.track.trackfiles.written import by_feed, longitude_text, number_text, said_beside
from farglide.track.trackfiles.xmlread import Ended, ended_elements, xml_text

_HEAD: Final = """<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="farglide" xmlns="http://www.topografix.com/GPX/1/1"\
 xmlns:f="urn:x-farglide:track">
"""
_OWN: Final = {"ele": "height_m", "geoidheight": "separation_m", "sat": "n_satellites"}
_BESIDE: Final = {"speed": "speed_mps", "course": "track_deg"}  # of GPX 1.0 and of extensions
_KEPT: Final = ("speed_mps", "track_deg")
_HEIGHT: Final = ("height_m", "height_kind")


def gpx_lines(fixes: Iterable[Fix]) -> Iterator[str]:
    """Yield a GPX document; without fixes a header only.

    `ele` is the height above sea level, `geoidheight` the height of the geoid above the ellipsoid.
    What was told as another height, and speed and track, stand in extensions of our own.
    Source: GPX 1.1 schema, wptType (from memory); checked by gpxpy 1.6.2.
    """
    yield _HEAD
    for feed, of_feed in by_feed(fixes).items():
        yield f"<trk><name>{xml_text(feed)}</name><trkseg>\n"
        yield from map(_point, of_feed)
        yield "</trkseg></trk>\n"
    yield "</gpx>\n"


def read_gpx(path: Path) -> TrackRead:
    """Return the track points of a GPX file, 1.0 or 1.1, by the name of each track.

    Heights are above sea level, unless they are ours and told otherwise. Waypoints and routes are
    no fixes. Raises SourceError.
    """
    taking, feed = Taking(str(path)), ""
    said: dict[str, str] = {}
    is_gpx = False
    for one in ended_elements(path):
        is_gpx = is_gpx or one.names[0] == "gpx"
        if not is_gpx:
            break
        if "trkpt" in one.names[:-1]:
            _note(one, said)
        elif one.names[-1] == "trkpt":
            where = {"lat_deg": one.says.get("lat", ""), "lon_deg": one.says.get("lon", "")}
            time = said.pop("time", "")
            t_s = seconds_of(time)
            if time and t_s is None:
                taking.leave("a time that is none")
            else:
                taking.take({"feed": feed, **said, **where}, t_s)
            said = {}
        elif one.names[-2:] == ("trk", "name"):
            feed = one.text
        elif one.names[-1] == "trk":
            feed = ""
    if not is_gpx:
        raise unread(str(path), "is no GPX file.", "Is it a track?")
    return taking.track()


def _note(one: Ended, said: dict[str, str]) -> None:
    """Take down what a child of a point says; ours, which come last, take the place of `ele`."""
    name = one.names[-1]
    if one.names[-2] == "trkpt" and name in ("time", *_OWN):
        said[_OWN.get(name, name)] = one.text
    elif name in _BESIDE:
        said[_BESIDE[name]] = one.text
    elif name in (*_KEPT, *_HEIGHT):
        said[name] = one.text


def _point(fix: Fix) -> str:
    height_m, time = amsl_m(fix), time_text(fix.t_s)
    parts = [f'<trkpt lat="{number_text(fix.lat_deg)}" lon="{longitude_text(fix.lon_deg)}">']
    parts += [f"<ele>{number_text(height_m)}</ele>"] if height_m is not None else []
    parts += [f"<time>{time}</time>"] if time else []
    if fix.separation_m is not None:
        parts += [f"<geoidheight>{number_text(fix.separation_m)}</geoidheight>"]
    parts += [f"<sat>{fix.n_satellites}</sat>"] if fix.n_satellites is not None else []
    is_other = fix.height_m is not None and fix.height_kind is not HeightKind.SEA_LEVEL
    kept = said_beside(fix, (*_HEIGHT, *_KEPT) if is_other else _KEPT)
    if kept:
        inside = "".join(f"<f:{name}>{text}</f:{name}>" for name, text in kept)
        parts += [f"<extensions>{inside}</extensions>"]
    return "".join([*parts, "</trkpt>\n"])
