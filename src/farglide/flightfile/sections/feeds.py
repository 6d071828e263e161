"""Feeds section: where positions come from on the day, and what in a feed cannot be."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final, cast

from farglide.errors import FarglideError, Problem
from farglide.flightfile.entries import Entry, Section, quoted
from farglide.flightfile.reading import endings as unit
from farglide.flightfile.reading.keys import Quantity, typical
from farglide.flightfile.reading.meant import tidy
from farglide.flightfile.reading.reader import Reader
from farglide.sortie.columns import MEANINGS, columns_of
from farglide.sortie.feeds import (
    CARRIERS,
    FORMATS,
    HEIGHTS,
    WHERE_WAYS,
    FeedFormat,
    FeedHeight,
    FeedOf,
    FeedSpec,
    in_folder,
    where_of,
)

_MAPPED: Final = ("csv", "json")
_ROWS: Final = (
    # 5 to 10 m in the open for a plain receiver (common practice, no source)
    typical("error", unit.DISTANCE, (0.5, 5000.0), "its positions may be off by", 10.0,
            settle="leave it on a known place for ten minutes"),
    Quantity("stops_above", unit.HEIGHT, (1000.0, 100_000.0),
             "its receiver gives no position above",
             settle="look up the limit in the receiver's sheet, and the mode that lifts it"),
    Quantity("sensor_ends", unit.PRESSURE, (10.0, 110_000.0),
             "its pressure sensor reads no less than",
             settle="look it up in the sensor's sheet"),
)  # fmt: skip


def feed_of(one: Entry, folder: Path) -> FeedSpec:
    """Return a feed found without problems; a file is taken from the flight file's folder."""
    texts = one.texts
    return one.spec(
        FeedSpec,
        where=in_folder(where_of(texts["from"]), folder),
        format=cast(FeedFormat, texts["format"]),
        of=cast(FeedOf, texts["of"]),
        height=cast(FeedHeight, texts["height"]),
        has_checksum=bool(one.counts["has_checksum"]),
    )


def feed_problems(feeds: list[Entry], links: Sequence[str] = ()) -> Iterator[Problem]:
    """Yield what each feed needs for its format and lacks, or has and nobody reads.

    `links`: the names of the links of the flight.
    """
    for one in feeds:
        yield from _link_problems(one, links)
        form = one.texts["format"]
        if form == "packet" and not one.texts["sender"]:
            remedy = 'Write sender = "N0CALL-11": others on the frequency are not taken.'
            yield one.problem("sender", "is missing.", remedy)
        elif form != "packet" and one.texts["sender"]:
            yield one.problem("sender", f'is of no use: format is "{form}".', "Take it out.")
        if form in _MAPPED:
            yield from _column_problems(one, form)
        elif one.lists["columns"]:
            remedy = 'Take them out, or write format = "csv".'
            yield one.problem("columns", f'are of no use: format is "{form}".', remedy)
        if form != "nmea" and not one.counts["has_checksum"]:
            yield one.problem("has_checksum", f'is of no use: format is "{form}".', "Take it out.")


def _link_problems(one: Entry, links: Sequence[str]) -> Iterator[Problem]:
    link, of = one.texts["link"], one.texts["of"]
    if link and of != "glider":
        yield one.problem("link", f'is of no use: of is "{of}".', "Take it out.")
    elif link and link not in links:
        known = ", ".join(f'"{name}"' for name in links) or "none is stated"
        remedy = f"Links of this flight: {known}."
        yield one.problem("link", f'is "{link}", which is no link of this flight.', remedy)


def _column_problems(one: Entry, form: str) -> Iterator[Problem]:
    if not one.lists["columns"]:
        remedy = 'Write columns = ["2=lat_deg", "3=lon_deg"].'
        if form == "json":
            remedy = 'Write columns = ["lat=lat_deg", "lon=lon_deg"].'
        yield one.problem("columns", "is missing.", remedy)
        return
    try:
        columns = columns_of(one.lists["columns"], form)
    except FarglideError as error:
        yield one.problem("columns", f"cannot be: {error}")
        return
    has_height = any(column.meaning.key == "height_m" for column in columns)
    if has_height and one.texts["height"] == "as sent":
        remedy = 'Write height = "sea level", "ellipsoid" or "pressure".'
        yield one.problem("height", "is missing: nothing else tells where it counts from.", remedy)


def _finish(reader: Reader, one: Entry) -> None:
    """Read what is true or false, and where it comes from."""
    stated = reader.raw("has_checksum", True)
    one.counts["has_checksum"] = int(stated is not False)
    if not isinstance(stated, bool):
        remedy = "Write has_checksum = false, without quotes."
        reader.refuse("has_checksum", f"is {tidy(stated)}, not true or false.", remedy)
    if not one.texts["from"]:
        reader.refuse("from", "is missing.", f"Allowed: {WHERE_WAYS}.")
        return
    try:
        where_of(one.texts["from"])
    except FarglideError as error:
        reader.refuse("from", f"cannot be: {error}")


FEEDS: Final = Section(
    name="feeds",
    noun="feed",
    about="One section for each source of positions on the day: a tracker, the receiver in the "
    "car. ``farglide feeds`` shows what comes of each; how to wire them stands in :doc:`ride`.",
    rows=_ROWS,
    texts=("name", "from", "sender", "link"),
    choices={
        "format": (FORMATS, "nmea"),
        "of": (CARRIERS, "glider"),
        "height": (HEIGHTS, "as sent"),
    },
    lists=("columns",),
    finish=_finish,
    words={
        "name": "the feed's name; no two alike",
        "from": f"**required.** {WHERE_WAYS}; a file lies beside the flight file, ``?follow`` "
        "goes on as it grows",
        "format": f"{quoted(FORMATS)}: NMEA 0183; position reports in AX.25 frames behind a KISS "
        "port; the JSON of gpsd; lines of numbers; lines of JSON; MAVLink 1 or 2. Left out: "
        '``"nmea"``',
        "of": f'what carries it, {quoted(CARRIERS)}; left out: ``"glider"``',
        "link": "the name of the link by which it comes: what its silence says is of that one; "
        "left out: the link that has its name, else the only one for positions",
        "height": f"from where its heights count, {quoted(HEIGHTS)} (of the standard "
        'atmosphere); left out: ``"as sent"``, as the format has it: NMEA, packet and MAVLink '
        "above the mean sea level, gpsd as it says. With columns that hold a height it must be "
        "stated",
        "sender": 'call sign with its number, ``"N0CALL-11"``; **required** with ``"packet"``: '
        "others on the frequency are not taken",
        "has_checksum": "``false`` where lines of NMEA come without; else ``true``: those "
        "without are taken for half lines",
        "columns": 'of ``"csv"`` a list as ``"2=lat_deg"``, the number of the column from 1 and '
        'what it is; of ``"json"`` as ``"pos.lat=lat_deg"``, the path of the key: '
        f"{quoted(tuple(MEANINGS))}",
    },
)
