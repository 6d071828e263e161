"""KML 2.2: a folder for each feed, with its line and a point for each fix."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.trackfiles.taking import Taking, TrackRead, unread
from farglide.track.trackfiles.times import seconds_of, time_text
from farglide.track.trackfiles.written import by_feed, number_text, said_beside
from farglide.track.trackfiles.xmlread import Ended, ended_elements, xml_text

_HEAD: Final = """<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>Track by farglide</name>
"""
_KEPT: Final = (
    "feed", "height_m", "height_kind", "separation_m", "speed_mps", "track_deg", "n_satellites",
)  # fmt: skip


def kml_lines(fixes: Iterable[Fix]) -> Iterator[str]:
    """Yield a KML document; without fixes a header only.

    Heights of places are above sea level; a fix that tells another kind lies on the ground there,
    and its height in the data beside, with all else that was said.
    Source: OGC 07-147r2 (KML 2.2), altitudeMode "absolute" (from memory); checked by fastkml 1.4.
    """
    yield _HEAD
    for feed, of_feed in by_feed(fixes).items():
        yield f"<Folder><name>{xml_text(feed)}</name>\n"
        if len(of_feed) > 1:
            yield from _line(of_feed)
        yield from map(_point, of_feed)
        yield "</Folder>\n"
    yield "</Document></kml>\n"


def read_kml(path: Path) -> TrackRead:
    """Return the points of a KML file with a time or with data of ours, by the name of the folder.

    Lines and areas are no fixes. Raises SourceError.
    """
    taking, feed = Taking(str(path)), ""
    said: dict[str, str] = {}
    is_kml = False
    for one in ended_elements(path):
        is_kml = is_kml or one.names[0] == "kml"
        if not is_kml:
            break
        if one.names[-2:] == ("Folder", "name"):
            feed = one.text
        elif one.names[-1] == "Placemark":
            if "coordinates" in said and ("when" in said or said.keys() & set(_KEPT)):
                _take(taking, feed, said)
            said = {}
        elif "Placemark" in one.names:
            _note(one, said)
    if not is_kml:
        raise unread(str(path), "is no KML file.", "Is it a track?")
    return taking.track()


def _note(one: Ended, said: dict[str, str]) -> None:
    last = one.names[-1]
    if one.names[-2:] == ("Point", "coordinates") or last in ("when", "altitudeMode"):
        said[last] = one.text
    elif last == "value":
        said["value"] = one.text
    elif last == "Data" and one.says.get("name") in _KEPT:
        said[one.says["name"]] = said.pop("value", "")


def _take(taking: Taking, feed: str, said: dict[str, str]) -> None:
    lon, _, rest = said["coordinates"].partition(",")
    lat, _, height = rest.partition(",")
    t_s = seconds_of(said["when"]) if said.get("when") else None
    if said.get("when") and t_s is None:
        taking.leave("a time that is none")
        return
    if said.get("altitudeMode") == "absolute" and not said.get("height_m"):
        said["height_m"] = height
    told: dict[str, str] = {name: said[name] for name in _KEPT if name in said}
    taking.take({"feed": feed, **told, "lat_deg": lat.strip(), "lon_deg": lat and lon.strip()}, t_s)
    # the longitude of a place without a latitude is none


def _line(fixes: list[Fix]) -> Iterator[str]:
    is_high = all(amsl_m(fix) is not None for fix in fixes)
    mode = "absolute" if is_high else "clampToGround"
    yield f"<Placemark><name>Way</name><LineString><altitudeMode>{mode}</altitudeMode>"
    yield "<coordinates>\n"
    for fix in fixes:
        yield f"{_coordinates(fix)}\n"
    yield "</coordinates></LineString></Placemark>\n"


def _point(fix: Fix) -> str:
    time, mode = time_text(fix.t_s), "clampToGround" if amsl_m(fix) is None else "absolute"
    when = f"<TimeStamp><when>{time}</when></TimeStamp>" if time else ""
    data = "".join(
        f'<Data name="{name}"><value>{xml_text(text)}</value></Data>'
        for name, text in said_beside(fix, _KEPT)
    )
    return (
        f"<Placemark>{when}<ExtendedData>{data}</ExtendedData><Point><altitudeMode>{mode}"
        f"</altitudeMode><coordinates>{_coordinates(fix)}</coordinates></Point></Placemark>\n"
    )


def _coordinates(fix: Fix) -> str:
    height_m = amsl_m(fix)
    place = f"{number_text(fix.lon_deg)},{number_text(fix.lat_deg)}"
    return place if height_m is None else f"{place},{number_text(height_m)}"
