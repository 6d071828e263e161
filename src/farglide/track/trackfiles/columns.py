"""CSV: a line for each fix, ours or of an old track with columns named otherwise."""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from farglide.track.reports import Fix, HeightKind
from farglide.track.trackfiles.taking import Taking, TrackRead, content, unread
from farglide.track.trackfiles.times import seconds_of, time_text
from farglide.track.trackfiles.written import said_beside

COLUMNS: Final = (
    "time", "t_s", "feed", "lat_deg", "lon_deg", "height_m", "height_kind", "separation_m",
    "speed_mps", "track_deg", "n_satellites",
)  # fmt: skip
_M_PER_FT: Final = 0.3048  # exactly
_NAMES: Final = {
    "time": ("time", "utc", "timestamp", "datetime", "time_utc", "utc_time"),
    "date": ("date", "utc_date"),
    "lat_deg": ("lat_deg", "lat", "latitude"),
    "lon_deg": ("lon_deg", "lon", "lng", "long", "longitude"),
    "height_m": (
        "height_m", "amsl_m", "hae_m", "palt_m", "ele", "ele_m", "elevation", "elevation_m", "alt",
        "alt_m", "altitude", "altitude_m", "height",
    ),
    "height_ft": ("height_ft", "alt_ft", "altitude_ft", "ele_ft", "elevation_ft"),
    "speed_mps": ("speed_mps",),
    "track_deg": ("track_deg", "course", "course_deg"),
    "n_satellites": ("n_satellites", "satellites", "sats", "sat"),
}  # fmt: skip
_KINDS: Final = {"hae_m": HeightKind.ELLIPSOID, "palt_m": HeightKind.PRESSURE}


def csv_lines(fixes: Iterable[Fix]) -> Iterator[str]:
    """Yield a table with every word of each fix; without fixes the names of the columns only.

    Source: RFC 4180, with line feeds alone.
    """
    yield _line(COLUMNS)
    for fix in fixes:
        told = dict(said_beside(fix, COLUMNS[1:]))
        yield _line([time_text(fix.t_s), *(told.get(name, "") for name in COLUMNS[1:])])


def read_csv(path: Path) -> TrackRead:
    """Return the fixes of a table with columns for latitude and longitude, in degrees.

    Parted by comma, semicolon or tab; names in any case. Of an old track: `lat` or `latitude`,
    `lon`, `lng` or `longitude`, `time` (ISO 8601 or UTC seconds since 1970), `date` beside it,
    `alt`, `ele`, `altitude` or `height` in metres above sea level, or with `_ft` in feet.
    `hae_m` is above the ellipsoid, `palt_m` a pressure altitude. Raises SourceError.
    """
    name = str(path)
    text = content(name, path.read_bytes()).replace("\r\n", "\n")
    first, _, rest = (text if "\n" in text else text.replace("\r", "\n")).partition("\n")
    parted = max(",;\t", key=first.count)
    columns = [word.strip().strip('"').lower() for word in first.split(parted)]
    places = _places(columns)
    if "lat_deg" not in places or "lon_deg" not in places:
        what = f"has no columns for latitude and longitude; its first line is {first[:60]!r}."
        raise unread(name, what, "Name them lat_deg and lon_deg.")
    kind = _KINDS.get(columns[places["height_m"]]) if "height_m" in places else None
    taking = Taking(name)
    try:
        for row in csv.reader(io.StringIO(rest, newline=""), delimiter=parted):
            if row:
                said = {key: row[at].strip() for key, at in places.items() if at < len(row)}
                _take(taking, said, kind)
    except csv.Error as error:
        raise unread(name, f"is no table: {error}.") from None
    return taking.track()


def _take(taking: Taking, said: dict[str, str], kind: HeightKind | None) -> None:
    t_s, is_none = _time(said)
    if is_none:
        taking.leave("a time that is none")
        return
    if said.get("height_ft"):
        try:
            said["height_m"] = repr(float(said["height_ft"]) * _M_PER_FT)
        except ValueError:
            taking.leave("a height that cannot be read")
            return
    taking.take({"height_kind": kind or "", **said}, t_s)


def _time(said: Mapping[str, str]) -> tuple[float | None, bool]:
    """Return the time of a row, and whether one is told that is none."""
    text = said.get("t_s") or said.get("time") or ""
    if said.get("date") and not said.get("t_s"):
        text = f"{said['date']}T{text}" if text else said["date"]
    if not text:
        return None, False
    try:
        t_s: float | None = float(text)
    except ValueError:
        t_s = seconds_of(text)
    is_time = t_s is not None and 0.0 <= t_s < 4_102_444_800.0
    return (t_s, False) if is_time else (None, True)


def _places(columns: list[str]) -> dict[str, int]:
    """Return the column of each word of a fix; ours go before those of others."""
    found: dict[str, int] = {name: columns.index(name) for name in COLUMNS if name in columns}
    for name, others in _NAMES.items():
        known = [columns.index(one) for one in others if one in columns]
        if known:
            found.setdefault(name, known[0])
    return found


def _line(words: Iterable[str]) -> str:
    held = io.StringIO()
    csv.writer(held, lineterminator="\n").writerow(words)
    return held.getvalue()
