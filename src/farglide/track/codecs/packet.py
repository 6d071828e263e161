"""Packet: position reports of one amateur radio sender, heard by a modem behind a KISS port.

Source: APRS Protocol Reference, version 1.0.1 (2000), chapters 5 (data type), 6
(time) and 8 (position reports), from memory, held against a general library; sentences of NMEA 0183
sent as they are: see `sentence`.
"""

import re
from collections.abc import Iterator
from typing import Final

from farglide.errors import InputError
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.epoch import KINDS, Epoch, day_s_of
from farglide.track.codecs.kiss import KissFrames, heading_of
from farglide.track.codecs.mic import KINDS as MIC_KINDS
from farglide.track.codecs.mic import mic_said
from farglide.track.codecs.moments import nearest_day_t_s, nearest_t_s, of_day_s
from farglide.track.codecs.placing import Said, compressed_said, plain_said
from farglide.track.codecs.sentence import fields_of
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Fix, Heard, HeightKind, Raw, Report

_STAMP: Final = re.compile(rb"(\d\d)(\d\d)(\d\d)([zh/])")
_STAMP_BYTES: Final = 7


class PacketCodec(Codec):
    """Fixes of the one sender that the flight file names; its other frames say it is heard."""

    def __init__(self, spec: FeedSpec) -> None:
        super().__init__(spec, KissFrames())

    def _read(self, piece: bytes, raw: Raw) -> Iterator[Report]:
        heading = heading_of(piece)
        self.last = f"{heading.sender}>{heading.to}: ".encode() + heading.words
        if heading.sender.casefold() != self.spec.sender.casefold():
            raise UnreadError(Cause.OTHER)
        try:
            said, t_s = position_of(heading.to, heading.words, raw.utc_s)
            self.check_new(t_s)
            found: Report = self._fix(said, t_s)
        except (UnreadError, InputError) as error:
            self.tally.causes[error.cause if isinstance(error, UnreadError) else Cause.RANGE] += 1
            found = Heard(feed=self.spec.name)
        yield found

    def _fix(self, said: Said, t_s: float | None) -> Fix:
        return Fix(
            feed=self.spec.name,
            lat_deg=said.lat_deg,
            lon_deg=said.lon_deg,
            t_s=t_s,
            height_m=said.height_m,
            height_kind=self.height_kind(HeightKind.SEA_LEVEL),
            speed_mps=said.speed_mps,
            track_deg=said.track_deg,
        )


def position_of(to: str, words: bytes, near_t_s: float) -> tuple[Said, float | None]:
    """Return what a report says, and when by its own stamp, in the month or day nearest by.

    A stamp in the sender's local time says nothing here. Raises UnreadError.
    """
    kind = words[:1]
    if not kind:
        raise UnreadError(Cause.HALF)
    if kind in MIC_KINDS:
        return mic_said(to, words), None
    if kind == b"$":
        return _of_sentence(words, near_t_s)
    if kind in b"!=":
        return _placed(words[1:]), None
    if kind in b"/@":
        return _placed(words[1 + _STAMP_BYTES :]), _t_s(words[1 : 1 + _STAMP_BYTES], near_t_s)
    raise UnreadError(Cause.UNKNOWN)


def _placed(words: bytes) -> Said:
    if not words:
        raise UnreadError(Cause.HALF)
    is_plain = words[:1].isdigit() or words[:1] == b" "
    return plain_said(words) if is_plain else compressed_said(words)


def _of_sentence(words: bytes, near_t_s: float) -> tuple[Said, float | None]:
    """Return what one sentence of NMEA 0183 says that was sent as it is."""
    fields, one = fields_of(words), Epoch()
    sentence = KINDS.get(fields[0][-3:])
    if sentence is None:
        raise UnreadError(Cause.UNKNOWN)
    day_s = day_s_of(fields, sentence)
    sentence.read(fields, one)
    if day_s is None or one.lat_deg is None or one.lon_deg is None:
        raise UnreadError(Cause.UNKNOWN)
    said = Said(one.lat_deg, one.lon_deg, one.height_m, one.speed_mps, one.track_deg)
    return said, nearest_t_s(day_s, near_t_s)


def _t_s(stamp: bytes, near_t_s: float) -> float | None:
    match = _STAMP.fullmatch(stamp)
    if match is None:
        raise UnreadError(Cause.RANGE)
    first, second, third = (int(match[i]) for i in (1, 2, 3))
    if match[4] == b"/":
        return None
    if match[4] == b"h":
        return nearest_t_s(of_day_s(first, second, float(third)), near_t_s)
    return nearest_day_t_s(first, of_day_s(second, third, 0.0), near_t_s)
