"""Lines: ends of any kind, cut anywhere, never more held than one line may be long."""

import pytest

from farglide.sortie.feeds import where_of
from farglide.track.codecs.lines import LONGEST, Lines, lines_of
from farglide.track.codecs.tally import Cause, Tally


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r", b"\n\n\r"])
@pytest.mark.parametrize("size", [1, 3, 100])
def test_lines_come_whole_however_they_were_cut(end: bytes, size: int) -> None:
    lines, tally = Lines(), Tally()
    data = end.join([b"one", b"two", b"three", b""])
    pieces = [data[i : i + size] for i in range(0, len(data), size)]
    assert [line for piece in pieces for line in lines.take(piece, tally)] == [
        b"one", b"two", b"three",
    ]  # fmt: skip


def test_the_last_line_waits_for_its_end() -> None:
    lines = Lines()
    assert list(lines.take(b"one\ntw", Tally())) == [b"one"]
    assert list(lines.take(b"o\n", Tally())) == [b"two"]


def test_a_datagram_ends_its_line_where_that_is_closed() -> None:
    udp = where_of("udp://:5005")
    assert list(lines_of(udp).take(b"one\ntwo", Tally())) == [b"one", b"two"]
    lines = lines_of(udp, rb"\}")
    assert list(lines.take(b'{"a":', Tally())) == []
    assert list(lines.take(b"1} ", Tally())) == [b'{"a":1} ']
    assert list(lines_of(where_of("serial:x")).take(b"one\ntwo", Tally())) == [b"one"]


def test_a_line_without_end_is_counted_once_and_not_held() -> None:
    lines, tally = Lines(), Tally()
    for _ in range(100):
        assert list(lines.take(b"x" * 1000, tally)) == []
    assert len(lines._rest) <= LONGEST + 1000
    assert list(lines.take(b"x\nnext\n", tally)) == [b"next"]
    assert tally.causes == {Cause.NO_LINE: 1}
    assert tally.n_pieces == 1


def test_a_long_line_in_one_chunk_is_none() -> None:
    tally = Tally()
    assert list(Lines().take(b"x" * (LONGEST + 1) + b"\nnext\n", tally)) == [b"next"]
    assert tally.causes == {Cause.NO_LINE: 1}
