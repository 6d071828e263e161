"""IGC read: the fixes of a flight recorder's file."""

import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Final

from farglide.track.reports import HeightKind
from farglide.track.trackfiles.igc import COMMENT
from farglide.track.trackfiles.taking import FEED, Taking, TrackRead, content, unread

_FIX: Final = re.compile(
    r"B(\d{2})(\d{2})(\d{2})(\d{2})(\d{5})([NS])(\d{3})(\d{5})([EW])([AV])"
    r"(-\d{4}|\d{5})(-\d{4}|\d{5})(.*)",
    re.ASCII,
)
_DATE: Final = re.compile(r"HFDTE(?:DATE)?\s*:?\s*(\d{2})(\d{2})(\d{2})", re.ASCII)
_EXTENSION: Final = re.compile(r"(\d{2})(\d{2})(\w{3})", re.ASCII)
_BODY: Final = 35  # letters of a B record before what the I record adds
_MINUTE: Final = 60_000  # thousandths in a degree
_STEP_BACK: Final = timedelta(hours=1)
"""What goes back by more is the next day; by less, a clock that was set."""
_CENTURY: Final = 80  # of two digits: later ones are of the last century


class _File:
    """What the lines so far say of those that follow."""

    def __init__(self, path: str) -> None:
        self.taking = Taking(path)
        self.feed, self.kind, self.has_records = FEED, HeightKind.ELLIPSOID, False
        self._day: datetime | None = None
        self._last: datetime | None = None
        self._fraction = slice(0, 0)

    def line(self, line: str) -> None:
        """Take in one line."""
        if line.startswith("B"):
            self._fix(line)
        elif match := _DATE.match(line):
            self._date(*map(int, match.groups()))
        elif line.startswith("HFALG"):
            self.kind = HeightKind.SEA_LEVEL if "GEO" in line else HeightKind.ELLIPSOID
        elif line.startswith("I"):
            self._extensions(line)
        elif line.startswith(COMMENT):
            self.feed = line.partition(":")[2].strip() or FEED
        self.has_records = self.has_records or line.startswith(("B", "HF"))

    def _date(self, day: int, month: int, year: int) -> None:
        century = 1900 if year >= _CENTURY else 2000
        try:
            self._day, self._last = datetime(century + year, month, day, tzinfo=UTC), None
        except ValueError:
            self._day = None

    def _extensions(self, line: str) -> None:
        for first, last, code in _EXTENSION.findall(line[3:]):
            if code == "TDS":
                self._fraction = slice(int(first) - 1 - _BODY, int(last) - _BODY)

    def _fix(self, line: str) -> None:
        match = _FIX.match(line)
        if match is None:
            self.taking.leave("a record that cannot be read")
            return
        hours, minutes, seconds, lat, lat_min, side, lon, lon_min, other, valid, p, g, more = (
            match.groups()
        )
        clock = timedelta(hours=int(hours), minutes=int(minutes), seconds=int(seconds))
        is_clock = int(hours) < 24 and int(minutes) < 60 and int(seconds) < 60
        if not is_clock or max(int(lat_min), int(lon_min)) >= _MINUTE:
            self.taking.leave("a time or position that is none")
            return
        told: dict[str, Any] = {
            "lat_deg": (int(lat) + int(lat_min) / _MINUTE) * (-1 if side == "S" else 1),
            "lon_deg": (int(lon) + int(lon_min) / _MINUTE) * (-1 if other == "W" else 1),
        }
        if valid == "A":
            told |= {"height_m": float(g), "height_kind": self.kind}
        elif int(p):
            told |= {"height_m": float(p), "height_kind": HeightKind.PRESSURE}
        self.taking.take_values(told, self.feed, self._time(clock, more[self._fraction]))

    def _time(self, clock: timedelta, fraction: str) -> float | None:
        """Return the time of a fix; None where no line told the date."""
        if self._day is None:
            return None
        now = self._day + clock
        if self._last is not None and self._last - now > _STEP_BACK:
            self._day += timedelta(days=1)
            now += timedelta(days=1)
        self._last = now
        is_told = fraction.isdecimal() and fraction.isascii()
        return now.timestamp() + (int(fraction) / 10 ** len(fraction) if is_told else 0.0)


def read_igc(path: Path) -> TrackRead:
    """Return the fixes of an IGC file; what follows midnight is of the next day.

    A valid fix has its GNSS height, above the ellipsoid unless `HFALG` says otherwise; one that is
    not valid the pressure altitude, where that is not 0. Raises SourceError.
    Source: as `farglide.track.trackfiles.igc.igc_lines`.
    """
    file = _File(str(path))
    for line in content(str(path), path.read_bytes()).splitlines():
        file.line(line)
    if not file.has_records:
        raise unread(str(path), "is no IGC file.", "Is it a track?")
    return file.taking.track()
