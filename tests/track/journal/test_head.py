"""A head says what the ride was begun with; the log of another flight is refused."""

from dataclasses import replace

import pytest

from farglide.errors import SourceError
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.head import check_same_flight, head_of, head_payload

from .made import HEAD


def record(payload: bytes) -> Record:
    return Record(kind=Kind.HEAD, number=0, monotonic_s=0.0, utc_s=0.0, payload=payload)


def test_a_head_comes_back_word_for_word() -> None:
    head = replace(HEAD, flight='# Höhe\r\n[flight]\nname = "\x07"\n', winds="é" * 9)
    assert head_of("a.log", record(head_payload(head))) == head


@pytest.mark.parametrize(
    ("payload", "what"),
    [
        (b"{", "a.log, head: cannot be read: .* It is no log."),
        (b'{"form":"farglide log 2"}', "'farglide log 2'; this farglide reads 'farglide log 1'"),
        (b'{"form":"farglide log 1","flight":1}', "head: holds no text for 'flight'"),
        (head_payload(HEAD)[:-1] + b',"rehearsal_speed":"ten"}', "no number for 'rehearsal_speed'"),
    ],
)
def test_another_head_is_refused(payload: bytes, what: str) -> None:
    with pytest.raises(SourceError, match=what):
        head_of("a.log", record(payload))


def test_the_log_of_another_flight_is_refused_with_what_differs() -> None:
    check_same_flight("a.log", HEAD, replace(HEAD, program="0.2.0"))
    other = replace(HEAD, flight="[other]\n", winds="[1]")
    with pytest.raises(SourceError, match="log of another flight: another flight file and other w"):
        check_same_flight("a.log", HEAD, other)
    with pytest.raises(SourceError, match=r"another pack\. Give the log another name"):
        check_same_flight("a.log", HEAD, replace(HEAD, manifest="{1}"))


def test_a_rehearsal_says_so_and_is_no_flight() -> None:
    rehearsed = replace(HEAD, speed=20.0)
    assert head_of("a.log", record(head_payload(rehearsed))) == rehearsed
    check_same_flight("a.log", rehearsed, rehearsed)
    told = "is the log of a rehearsal at 20 times real time, and this is a flight"
    with pytest.raises(SourceError, match=told):
        check_same_flight("a.log", rehearsed, HEAD)
    with pytest.raises(SourceError, match="is the log of a flight, and this is a rehearsal at 20"):
        check_same_flight("a.log", HEAD, rehearsed)
