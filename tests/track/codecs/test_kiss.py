"""KISS and AX.25: frames out of bytes, and addresses out of frames."""

import pytest

from farglide.track.codecs.kiss import LONGEST, KissFrames, heading_of
from farglide.track.codecs.tally import Cause, Tally, UnreadError

from .framing import address, frame, kissed

HELLO = frame("N0CALL-11", "APZ001", b"hello")


def taken(*chunks: bytes) -> tuple[list[bytes], Tally]:
    frames, tally = KissFrames(), Tally()
    return [one for chunk in chunks for one in frames.take(chunk, tally)], tally


@pytest.mark.parametrize("size", [1, 5, 1000])
def test_frames_come_whole_however_they_were_cut(size: int) -> None:
    data = kissed(HELLO) + kissed(b"\xc0\xdb\xdc\xdd")
    found, tally = taken(*(data[i : i + size] for i in range(0, len(data), size)))
    assert found == [HELLO, b"\xc0\xdb\xdc\xdd"]
    assert tally.n_pieces == 0


@pytest.mark.parametrize("size", [1, 100, 5000])
def test_a_frame_too_long_is_counted_once_however_it_was_cut(size: int) -> None:
    begun, whole = b"x" * 2000 + b"\xc0", kissed(HELLO)
    for data, cause in ((begun + whole, Cause.HALF), (b"\xc0" + begun + whole, Cause.NO_LINE)):
        found, tally = taken(*(data[i : i + size] for i in range(0, len(data), size)))
        assert found == [HELLO]
        assert tally.causes == {cause: 1}


def test_who_sent_what_to_whom() -> None:
    heading = heading_of(HELLO)
    assert (heading.sender, heading.to, heading.words) == ("N0CALL-11", "APZ001", b"hello")


def test_repeaters_on_the_way_are_passed_over() -> None:
    assert heading_of(frame("N0CALL", "APZ001", b"hi", "WIDE1-1", "WIDE2-2")).words == b"hi"


def test_the_middle_of_a_frame_is_half_and_a_command_unknown() -> None:
    found, tally = taken(b"\x82\xa0" + kissed(HELLO), b"\xc0\x01\x32\xc0")
    assert found == [HELLO]
    assert tally.causes == {Cause.HALF: 1, Cause.UNKNOWN: 1}


def test_a_frame_without_end_is_counted_once_and_not_held() -> None:
    frames, tally = KissFrames(), Tally()
    list(frames.take(b"\xc0", tally))
    for _ in range(100):
        assert list(frames.take(b"x" * 500, tally)) == []
    assert len(frames._rest) <= LONGEST + 500
    assert tally.causes == {Cause.NO_LINE: 1}
    assert list(frames.take(kissed(b"next"), tally)) == [b"next"]


@pytest.mark.parametrize(
    ("data", "cause"),
    [
        (HELLO[:10], Cause.HALF),
        (HELLO[:15], Cause.HALF),
        (HELLO[:14] + b"\x00\xf0hello", Cause.UNKNOWN),
        (HELLO[:14] + b"\x03\xcfhello", Cause.UNKNOWN),
        (address("APZ001", last=True) + b"\x03\xf0", Cause.NO_LINE),
        (b"\x02" * 100, Cause.NO_LINE),
        (b"\x00" * 7 + HELLO[7:], Cause.NO_LINE),
        (b"\x01" + HELLO[1:], Cause.NO_LINE),
    ],
)
def test_what_is_no_frame_of_words_says_why(data: bytes, cause: Cause) -> None:
    with pytest.raises(UnreadError, match=cause.value):
        heading_of(data)


def test_a_frame_that_asks_for_an_answer_is_read() -> None:
    assert heading_of(HELLO[:14] + b"\x13\xf0hello").words == b"hello"
