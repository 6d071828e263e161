"""NMEA 0183: sentences of one epoch put together into one fix, whatever their order.

Source: from memory; see `sentence`.
"""

from typing import Final

from farglide.errors import InputError
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.epoch import KINDS, Epoch, day_s_of
from farglide.track.codecs.lines import lines_of
from farglide.track.codecs.moments import nearest_t_s
from farglide.track.codecs.sentence import fields_of
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Fix, HeightKind, Raw, Report

_CLOSED: Final = rb"\*[0-9A-Fa-f]{2}"
_GAP_S: Final = 0.3
"""Sentences of one epoch come in one burst; one without a time that comes later is of the next."""


class NmeaCodec(Codec):
    """Fixes of one receiver, one for each of its epochs.

    An epoch is told as soon as all kinds of sentences have come that the two before it had, else
    when the next one begins.
    """

    def __init__(self, spec: FeedSpec) -> None:
        super().__init__(spec, lines_of(spec.where, _CLOSED if spec.has_checksum else b""))
        self._epoch = Epoch()
        self._kinds: set[bytes] = set()
        self._before: set[bytes] = set()
        self._two_before: set[bytes] = set()
        self._is_told = False
        self._came = Raw(feed=spec.name, monotonic_s=0.0, utc_s=0.0, data=b"")
        self._ahead_s: float | None = None  # the sender's dated clock less our own

    def flush(self) -> list[Report]:
        """Return the fix of the epoch that is still open."""
        found = self._told()
        self.tally.n_reports += len(found)
        return found

    def _read(self, piece: bytes, raw: Raw) -> list[Report]:
        fields = fields_of(piece, self.spec.has_checksum)
        name = fields[0][-3:]
        kind = KINDS.get(name)
        if kind is None or fields[0][:1] == b"P":
            raise UnreadError(Cause.UNKNOWN)
        day_s, found = day_s_of(fields, kind), list[Report]()
        if self._begins(day_s, name, raw):
            found = self._ended()
        self._came = raw
        if day_s is not None:
            self._epoch.day_s = day_s
        self._kinds.add(name)
        try:
            kind.read(fields, self._epoch)
        except UnreadError as unread:
            self.tally.causes[unread.cause] += 1
        if self._is_whole():
            found += self._told()
        return found

    def _begins(self, day_s: float | None, name: bytes, raw: Raw) -> bool:
        """Tell whether a sentence is of another epoch than the open one."""
        is_late = raw.monotonic_s - self._came.monotonic_s > _GAP_S
        if day_s is None or self._epoch.day_s is None:
            return bool(self._kinds) and is_late
        return day_s != self._epoch.day_s or (is_late and name in self._kinds)

    def _is_whole(self) -> bool:
        """Tell whether as much has come as of each of the two epochs before."""
        return bool(self._before) and self._kinds >= self._before | self._two_before

    def _ended(self) -> list[Report]:
        """Return the fix of the epoch that is over, if it was not told; begin the next."""
        found = self._told()
        self._two_before, self._before = self._before, self._kinds
        self._epoch, self._kinds, self._is_told = Epoch(), set(), False
        return found

    def _told(self) -> list[Report]:
        """Return the fix of the open epoch, once; what cannot be one is counted."""
        if self._is_told or self._epoch.is_blank:
            return []
        self._is_told = True
        try:
            return [self._fix(self._epoch)]
        except UnreadError as unread:
            self.tally.causes[unread.cause] += 1
        except InputError:
            self.tally.causes[Cause.RANGE] += 1
        return []

    def _fix(self, one: Epoch) -> Fix:
        t_s = self._t_s(one)
        self.check_new(t_s)
        return Fix(
            feed=self.spec.name,
            lat_deg=one.lat_deg or 0.0,
            lon_deg=one.lon_deg or 0.0,
            t_s=t_s,
            height_m=None if one.is_flat else one.height_m,
            height_kind=self.height_kind(HeightKind.SEA_LEVEL),
            separation_m=one.separation_m,
            speed_mps=one.speed_mps,
            track_deg=one.track_deg,
            n_satellites=one.n_satellites,
        )

    def _t_s(self, one: Epoch) -> float | None:
        """Return the moment of an epoch: by its own date, else on the day that is nearest.

        Nearest to the last moment that the sender dated itself, carried on, else to the clock of
        this machine.
        """
        if one.day_s is None:
            return None
        now_s = self._came.monotonic_s
        if one.midnight_t_s is not None:
            t_s = one.midnight_t_s + one.day_s
            self._ahead_s = t_s - now_s
            return t_s
        near_t_s = self._came.utc_s if self._ahead_s is None else now_s + self._ahead_s
        return nearest_t_s(one.day_s, near_t_s)
