"""Codecs: the one that reads a feed, by the format that the flight file states."""

from collections.abc import Callable, Mapping
from typing import Final

from farglide.sortie.feeds import FeedFormat, FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.columns import ColumnsCodec
from farglide.track.codecs.gpsd import GpsdCodec
from farglide.track.codecs.mavlink import MavlinkCodec
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.codecs.packet import PacketCodec

_CODECS: Final[Mapping[FeedFormat, Callable[[FeedSpec], Codec]]] = {
    "nmea": NmeaCodec,
    "packet": PacketCodec,
    "gpsd": GpsdCodec,
    "csv": ColumnsCodec,
    "json": ColumnsCodec,
    "mavlink": MavlinkCodec,
}


def codec_of(spec: FeedSpec) -> Codec:
    """Return what reads a feed, with nothing read yet."""
    return _CODECS[spec.format](spec)
