"""MAVLink: positions and attitudes out of the vehicle telemetry protocol; nothing is ever sent.

Source: the protocol's published common message set (common.xml), messages 24, 30 and 33, from
memory, held against the protocol's general library. Heights there are above the mean sea level.
"""

import math
import struct
from collections.abc import Callable
from typing import Final, NamedTuple

from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.frames import MavFrames
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Attitude, Fix, HeightKind, Raw, Report

_RAW_POSITION, _ATTITUDE, _POSITION = 24, 30, 33
_RAW_LAYOUT: Final = struct.Struct("<QiiiHHHHBB")
_RAW_MORE: Final = struct.Struct("<i")  # of its extension: the height above the ellipsoid
_ATTITUDE_LAYOUT: Final = struct.Struct("<Iffffff")
_POSITION_LAYOUT: Final = struct.Struct("<IiiiihhhH")
_IN_THE_PLANE, _IN_SPACE, _FIXED_PLACE = 2, 3, 7
_UNSAID, _UNSAID_COUNT = 65_535, 255
_EARLIEST_US: Final = 1e15  # 2001: a smaller time counts from when the sender was switched on
_RAW_IS_BETTER_S: Final = 3.0


class Message(NamedTuple):
    """One message: how long its words are, the byte of its checksum, and what reads it."""

    n_bytes: int
    extra: int
    read: Callable[["MavlinkCodec", bytes, Raw], Report]


class MavlinkCodec(Codec):
    """Fixes and attitudes of one vehicle.

    Its estimate of where it is runs on without satellites; it counts only where the receiver's own
    position was not told for three seconds.
    """

    def __init__(self, spec: FeedSpec) -> None:
        super().__init__(spec, MavFrames({key: one.extra for key, one in MESSAGES.items()}))
        self._raw_monotonic_s = -math.inf

    def _read(self, piece: bytes, raw: Raw) -> list[Report]:
        message = MESSAGES[int.from_bytes(piece[:3], "little")]
        words = piece[3:]  # version 2 leaves out zeros at the end
        return [message.read(self, words.ljust(message.n_bytes, b"\0"), raw)]

    def raw_position(self, words: bytes, raw: Raw) -> Report:
        """Return the position of the satellite receiver. Raises UnreadError, InputError."""
        said = _RAW_LAYOUT.unpack_from(words)
        time_us, lat, lon, amsl_mm, _, _, speed_cmps, track_cdeg, fix_type, n_satellites = said
        if not _IN_THE_PLANE <= fix_type < _FIXED_PLACE:
            raise UnreadError(Cause.NO_FIX)
        self._raw_monotonic_s = raw.monotonic_s
        t_s = time_us / 1e6 if time_us > _EARLIEST_US else None
        self.check_new(t_s)
        (hae_mm,) = _RAW_MORE.unpack_from(words, _RAW_LAYOUT.size)
        separation_m = (hae_mm - amsl_mm) / 1000.0
        return Fix(
            feed=self.spec.name,
            lat_deg=lat / 1e7,
            lon_deg=lon / 1e7,
            t_s=t_s,
            height_m=amsl_mm / 1000.0 if fix_type >= _IN_SPACE else None,
            height_kind=self.height_kind(HeightKind.SEA_LEVEL),
            separation_m=separation_m if hae_mm and abs(separation_m) < 150.0 else None,
            speed_mps=speed_cmps / 100.0 if speed_cmps != _UNSAID else None,
            track_deg=track_cdeg / 100.0 if track_cdeg != _UNSAID else None,
            n_satellites=n_satellites if n_satellites != _UNSAID_COUNT else None,
        )

    def position(self, words: bytes, raw: Raw) -> Report:
        """Return where the vehicle takes itself to be. Raises UnreadError, InputError."""
        _, lat, lon, amsl_mm, _, north_cmps, east_cmps, _, _ = _POSITION_LAYOUT.unpack_from(words)
        if raw.monotonic_s - self._raw_monotonic_s < _RAW_IS_BETTER_S:
            raise UnreadError(Cause.SPARE)
        if lat == lon == 0:
            raise UnreadError(Cause.NO_FIX)
        speed_mps = math.hypot(north_cmps, east_cmps) / 100.0
        track_deg = math.degrees(math.atan2(east_cmps, north_cmps)) % 360.0
        return Fix(
            feed=self.spec.name,
            lat_deg=lat / 1e7,
            lon_deg=lon / 1e7,
            height_m=amsl_mm / 1000.0,
            height_kind=self.height_kind(HeightKind.SEA_LEVEL),
            speed_mps=speed_mps,
            track_deg=track_deg if speed_mps else None,
        )

    def attitude(self, words: bytes, _: Raw) -> Report:
        """Return how it lies in the air. Raises InputError."""
        roll, pitch, yaw = _ATTITUDE_LAYOUT.unpack_from(words)[1:4]
        if not all(map(math.isfinite, (roll, pitch, yaw))):
            raise UnreadError(Cause.RANGE)
        return Attitude(
            feed=self.spec.name,
            roll_deg=math.degrees(roll),
            pitch_deg=math.degrees(pitch),
            heading_deg=math.degrees(yaw) % 360.0,
        )


MESSAGES: Final[dict[int, Message]] = {
    _RAW_POSITION: Message(52, 24, MavlinkCodec.raw_position),
    _ATTITUDE: Message(_ATTITUDE_LAYOUT.size, 39, MavlinkCodec.attitude),
    _POSITION: Message(_POSITION_LAYOUT.size, 104, MavlinkCodec.position),
}
