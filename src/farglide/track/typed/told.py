"""Told: what an entry says, in words that are read at a glance before it counts."""

from functools import singledispatch
from typing import Final

from farglide.earth.clock import clock_text
from farglide.track.handover.sentence import HandedOver
from farglide.track.typed.entries import (
    THEODOLITE_SD_DEG,
    AtStand,
    Bearing,
    Entry,
    FieldRefused,
    FlownFor,
    Grade,
    LaunchLate,
    LaunchMoved,
    Mark,
    MarkKind,
    NeckLift,
    Overlay,
    RoadClosed,
    Sighting,
    Undo,
)
from farglide.track.typed.known import Understood
from farglide.track.typed.undone import undo_words

_GRADES: Final = ("no picture", "picture 1", "picture 2", "picture 3", "picture 4", "picture 5")


def understood(entry: Entry) -> Understood:
    """Return an entry with its words."""
    return Understood(entry=entry, words=words_of(entry))


def place_words(lat_deg: float, lon_deg: float) -> str:
    """Return a place to a metre or so, with letters instead of signs.

    >>> place_words(-46.51234, 108.2)
    '46.51234 S 108.20000 E'
    """
    north, east = "S" if lat_deg < 0.0 else "N", "W" if lon_deg < 0.0 else "E"
    return f"{abs(lat_deg):.5f} {north} {abs(lon_deg):.5f} {east}"


@singledispatch
def words_of(entry: Entry) -> str:
    """Return what an entry says; each kind of entry registers its own below.

    Raises TypeError for what is none.
    """
    raise TypeError(f"{type(entry).__name__} is no entry")


@words_of.register
def _(entry: Overlay) -> str:
    parts = list[str]()
    if entry.lat_deg is not None and entry.lon_deg is not None:
        parts.append(place_words(entry.lat_deg, entry.lon_deg))
    if entry.amsl_m is not None:
        parts.append(f"height {entry.amsl_m:.0f} m")
    if entry.speed_mps is not None:
        parts.append(f"speed {entry.speed_mps:.1f} m/s")
    if entry.volts is not None:
        parts.append(f"{entry.volts:.2f} V")
    return ", ".join(parts)


@words_of.register
def _(entry: Grade) -> str:
    return _GRADES[entry.grade]


@words_of.register
def _(entry: Bearing) -> str:
    at = f" from {entry.stand}" if entry.stand else ""
    if entry.sd_deg <= THEODOLITE_SD_DEG:
        up = "" if entry.elevation_deg is None else f", {entry.elevation_deg:.1f}° up"
        return f"theodolite to {entry.azimuth_deg:05.1f}°{up}{at}"
    up = "" if entry.elevation_deg is None else f", {entry.elevation_deg:.0f}° up"
    return f"antenna to {round(entry.azimuth_deg) % 360:03d}°{up}{at}"


@words_of.register
def _(entry: Sighting) -> str:
    if entry.clock_h is None:
        return f"{entry.what} on the {entry.side}"
    minutes = round(entry.clock_h * 60.0)
    hour = (minutes // 60 - 1) % 12 + 1
    return f"{entry.what} at {hour}" + (f":{minutes % 60:02d}" if minutes % 60 else "") + " o'clock"


@words_of.register
def _(entry: Mark) -> str:
    steers = ", nobody steers" if entry.kind is MarkKind.DEAD else ""
    return f"{entry.kind.value}{steers}"


@words_of.register
def _(entry: NeckLift) -> str:
    return f"neck lift {entry.kg:.2f} kg"


@words_of.register
def _(entry: LaunchMoved) -> str:
    return f"launch moved to {place_words(entry.lat_deg, entry.lon_deg)}"


@words_of.register
def _(entry: LaunchLate) -> str:
    minutes = entry.late_s / 60.0
    way = "later" if minutes >= 0.0 else "earlier"
    return f"launch {abs(minutes):.0f} min {way} than planned"


@words_of.register
def _(entry: RoadClosed) -> str:
    way = f"{entry.start} to {entry.end}"
    return f"{way} closed" if entry.longer_s is None else f"{way} +{entry.longer_s / 60.0:.0f} min"


@words_of.register
def _(entry: FieldRefused) -> str:
    return f"{entry.field} refused"


@words_of.register
def _(entry: FlownFor) -> str:
    return f"flown for {entry.field}"


@words_of.register
def _(entry: AtStand) -> str:
    return f"at {entry.stand}"


@words_of.register
def _(entry: HandedOver) -> str:
    field = f", field {entry.field}" if entry.field else ""
    left = "" if entry.left_s is None else f", {entry.left_s:.0f} s left"
    place = place_words(entry.lat_deg, entry.lon_deg)
    zone = " UTC" if entry.zone == "UTC" else ""
    at = f"{clock_text(entry.at_t_s, entry.zone)}{zone}"
    return (
        f"handed over: {entry.phase} at {at}, {place}, height {entry.amsl_m:.0f} m"
        f"{field}{left}, winds {entry.wind}"
    )


@words_of.register
def _(entry: Undo) -> str:
    what = entry.kind.value if entry.kind is not None else f"the last {undo_words(entry)}"
    return f"take back {what}"
