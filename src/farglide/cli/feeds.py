"""farglide feeds: what is plugged in, and what each feed of a flight says."""

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final, cast

from farglide.earth.clock import clock_text
from farglide.earth.state import Place, place_of
from farglide.errors import InputError, check_range
from farglide.flightfile.flightfile import read_flight_file
from farglide.live.feeds.listening import FeedHeard, listen
from farglide.live.feeds.reader import Clocks, State
from farglide.live.feeds.sources import serial_ports
from farglide.present.lines import blocks
from farglide.sortie.feeds import FORMATS, FeedFormat, FeedSpec, of_name, where_of
from farglide.sortie.words import duration_words
from farglide.track.received import Flown, Received
from farglide.track.reports import Fix
from farglide.track.suspicion import suspicions_of

WIDE: Final = 80
_HEARD_BYTES: Final = 300
_SPAN_S: Final = (0.1, 3600.0)
_WORDS: Final = {
    "heard": "heard",
    "garbage": "garbage: is it the right format, at the right speed?",
    "no fix": "bytes come, but no position yet",
    "silent": "open, but silent",
    "not there": "not there",
}
_FORMAT_WORDS: Final = {
    "nmea": "NMEA 0183", "packet": "position packets", "gpsd": "gpsd", "csv": "lines of numbers",
    "json": "lines of JSON", "mavlink": "MAVLink",
}  # fmt: skip


def feeds_text(file: Path, changed: Sequence[str], for_s: float, clocks: Clocks) -> str:
    """Return what came of each feed of a flight in so many seconds, 80 columns wide."""
    check_range("for", for_s, "s", _SPAN_S)
    sortie = read_flight_file(file).sortie
    specs = with_changes(sortie.feeds, changed)
    heard = listen(specs, for_s, clocks) if specs else []
    ports = serial_ports()
    plugged = [f"  {one}" for one in ports] or ["  none"]
    none = ["No feed is stated. Write [[feeds]] in the flight file, or give --feed NAME=WHERE."]
    launch, now_s = sortie.launch, clocks.monotonic_s()
    odd = odd_notes(heard, place_of(launch))
    parts = [feed_lines(one, now_s, launch.zone, odd.get(one.spec.name, ())) for one in heard]
    return "\n".join(blocks(["Serial ports of this machine", *plugged], *(parts or [none])))


def with_changes(specs: Sequence[FeedSpec], changed: Sequence[str]) -> list[FeedSpec]:
    """Return the feeds, those named read from elsewhere, in another format where one is told.

    `NAME=FORMAT@WHERE`, or `NAME=WHERE`; a new name is a tracker with NMEA 0183 without a format.
    One that is called car, or car and more, is the car's.
    Raises InputError.
    """
    found = {one.name: one for one in specs}
    for text in changed:
        name, equals, where = text.partition("=")
        form, at, rest = where.partition("@")
        form, where = (form.strip(), rest) if at and form.strip() in FORMATS else ("", where)
        if not equals or not name.strip():
            allowed = "a name, = and where it comes from"
            raise InputError("feed", ascii(text), allowed, "Write --feed tracker=udp://:5005.")
        of = of_name(name)
        blank = FeedSpec(name=name.strip(), where=where_of(where), format="nmea", of=of)
        known = found.get(name.strip(), blank)
        changed_form = cast(FeedFormat, form) if form else known.format
        _check_format(changed_form, known)
        found[known.name] = replace(known, where=blank.where, format=changed_form)
    return list(found.values())


def _check_format(form: FeedFormat, known: FeedSpec) -> None:
    """Refuse a format that needs what the flight file alone can say of the feed."""
    needs = {"csv": known.columns, "json": known.columns, "packet": known.sender}
    if not needs.get(form, "known"):
        what = "sender" if form == "packet" else "columns"
        remedy = f"State its {what} in [[feeds]] of the flight file."
        raise InputError(f"format of the feed {known.name}", form, "nmea, gpsd or mavlink", remedy)


def feed_lines(one: FeedHeard, now_s: float, zone: str, notes: Sequence[str] = ()) -> list[str]:
    """Return what came of one feed: how it fares, its last words, its last place, its counts."""
    spec = one.spec
    head = f"{spec.name}, {spec.of}: {_fares(one, now_s)}"
    told = [
        f"{spec.where.text}, {_FORMAT_WORDS[spec.format]}",
        *_last_words(one),
        *_last_place(one, now_s, zone),
        *notes,
        *_limits(spec),
        *_counts(one),
    ]
    return [line for text in (head, *(f"  {each}" for each in told)) for line in _folded(text)]


def odd_notes(heard: Sequence[FeedHeard], launch: Place) -> dict[str, list[str]]:
    """Return what is odd about the last fix of each feed, by the feed's name."""
    last = [
        Received(fix=one.last_fix, source=one.spec, utc_s=one.fix_came_utc_s)
        for one in heard
        if one.last_fix is not None and one.fix_came_utc_s is not None
    ]
    flight = Flown(launch=launch)
    return {
        one.source.name: [
            f"odd: {found.what} {found.remedy}"
            for found in suspicions_of(
                one, None, [each for each in last if each is not one], flight
            )
        ]
        for one in last
    }


def _fares(one: FeedHeard, now_s: float) -> str:
    condition, word = one.condition, _WORDS[one.word]
    if one.word == "not there":
        return f"{word} ({condition.why})"
    if condition.state is State.AWAY:
        return f"{word}, but gone now ({condition.why})"
    if condition.last_monotonic_s is not None and condition.state is not State.ENDED:
        word += f", last {_seconds(now_s - condition.last_monotonic_s)} ago"
    return word + ", read to its end" * (condition.state is State.ENDED)


def _last_words(one: FeedHeard) -> Iterator[str]:
    """Yield the last line as far as it can be shown, or the first bytes of what is none."""
    data = one.codec.last[:_HEARD_BYTES]
    if one.spec.format == "mavlink" and data:
        number = int.from_bytes(data[:3], "little")
        yield f"last: message {number}, {len(one.codec.last) - 3} bytes"
    elif data:
        shown = "".join(c if c.isprintable() else "·" for c in data.decode("ascii", "replace"))
        yield f"last: {shown if len(shown) < WIDE - 8 else shown[: WIDE - 11] + '...'}"


def _last_place(one: FeedHeard, now_s: float, zone: str) -> Iterator[str]:
    fix, came_s, came_utc_s = one.last_fix, one.fix_came_monotonic_s, one.fix_came_utc_s
    if one.last_heard is not None:
        dbm = one.last_heard.strength_dbm
        yield "link heard" + (f" with {dbm:g} dBm" if dbm is not None else ", without a position")
    if fix is None or came_s is None or came_utc_s is None:
        return
    place = f"{fix.lat_deg:.5f}, {fix.lon_deg:.5f}"
    yield f"at {place}{_height(fix)}, {_seconds(now_s - came_s)} ago"
    if fix.t_s is not None:
        off_s = fix.t_s - came_utc_s
        clock = f"its clock {clock_text(fix.t_s, zone)}"
        yield clock if abs(off_s) < 2.0 else f"{clock}, {_seconds(abs(off_s))} {_side(off_s)} ours"


def _height(fix: Fix) -> str:
    if fix.height_m is None:
        return ", no height"
    kind = {"ellipsoid": "above the ellipsoid", "sea level": "above sea level"}
    told = kind.get(fix.height_kind.value, "of pressure")
    return f", {fix.height_m:.0f} m {told}"


def _limits(spec: FeedSpec) -> Iterator[str]:
    """Yield what its source cannot do, as the flight file states it."""
    if spec.stops_above_m is not None:
        yield f"stops above {spec.stops_above_m:.0f} m"
    if spec.sensor_ends_pa is not None:
        yield f"its pressure sensor ends at {spec.sensor_ends_pa / 100.0:g} hPa"


def _counts(one: FeedHeard) -> Iterator[str]:
    tally = one.tally
    causes = "".join(f", {n} {cause.value}" for cause, n in tally.causes.most_common())
    yield f"{tally.n_pieces} lines, {tally.n_reports} reports{causes}"
    if one.n_lost_bytes:
        yield f"{one.n_lost_bytes} bytes came faster than they were read and are lost"


def _seconds(seconds: float) -> str:
    """Return a span in words.

    >>> _seconds(0.42), _seconds(75.0), _seconds(7230.0), _seconds(17_351_821.0)
    ('0.4 s', '75 s', '2 h', '201 days')
    """
    return f"{seconds:.1f} s" if seconds < 10.0 else duration_words(seconds)


def _side(off_s: float) -> str:
    return "ahead of" if off_s > 0.0 else "behind"


def _folded(text: str) -> list[str]:
    """Return a line in the width of a terminal, what follows set in."""
    return textwrap.wrap(text, WIDE, subsequent_indent="    ")
