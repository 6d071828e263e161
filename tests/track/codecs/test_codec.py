"""Codec: what is no report is counted, and does not end the feed."""

from collections.abc import Iterable

from farglide.errors import InputError
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.lines import Lines
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.track.reports import Heard, HeightKind, Raw, Report

from .feeding import raw, spec


class Made(Codec):
    """A codec of words."""

    def _read(self, piece: bytes, _: Raw) -> Iterable[Report]:
        if piece == b"stale":
            raise UnreadError(Cause.STALE)
        if piece == b"far":
            raise InputError("lat_deg", "99°", "-90 to 90°")
        return [Heard(feed=self.spec.name)]


def test_pieces_bytes_and_reports_are_counted() -> None:
    codec = Made(spec(), Lines())
    assert len(codec.take(raw(b"one\nstale\nfar\ntwo\nthr"))) == 2
    tally = codec.tally
    assert (tally.n_bytes, tally.n_pieces, tally.n_reports, tally.n_unread) == (21, 4, 2, 2)
    assert tally.causes == {Cause.STALE: 1, Cause.RANGE: 1}
    assert codec.last == b"two"
    assert codec.flush() == []


def test_a_moment_counts_once_and_a_clock_may_be_set() -> None:
    codec, refused = Made(spec(), Lines()), []
    for t_s in (100.0, None, 101.0, 101.0, 92.0, 91.0, 4000.0):
        try:
            codec.check_new(t_s)
        except UnreadError:
            refused.append(t_s)
    assert refused == [101.0, 92.0]


def test_the_flight_file_may_say_from_where_heights_count() -> None:
    assert Made(spec(), Lines()).height_kind(HeightKind.SEA_LEVEL) is HeightKind.SEA_LEVEL
    stated = Made(spec(height="ellipsoid"), Lines())
    assert stated.height_kind(HeightKind.SEA_LEVEL) is HeightKind.ELLIPSOID
