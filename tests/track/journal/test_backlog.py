"""What waits in memory stays in order, bounded, the oldest let go and counted."""

from farglide.track.journal.backlog import Backlog
from farglide.track.journal.frame import Kind, Record


def record(number: int, n_bytes: int = 63) -> Record:
    return Record(kind=Kind.NOTE, number=number, monotonic_s=0.0, utc_s=0.0, payload=bytes(n_bytes))


def taken(backlog: Backlog) -> list[int]:
    found = []
    while backlog:
        found.append(backlog.first().number)
        backlog.take()
    return found


def test_records_come_out_in_order() -> None:
    backlog = Backlog()
    for n in (3, 4, 5):
        backlog.put(record(n))
    backlog.put_back([record(1), record(2)])
    assert len(backlog) == 5
    assert taken(backlog) == [1, 2, 3, 4, 5]
    assert backlog.n_dropped == 0


def test_the_oldest_go_when_it_is_full_and_are_counted() -> None:
    backlog = Backlog(most_bytes=500)  # five of 100 bytes
    for n in range(8):
        backlog.put(record(n))
    assert backlog.n_dropped == 3
    assert taken(backlog) == [3, 4, 5, 6, 7]
    for n in range(8, 13):
        backlog.put(record(n))
    assert backlog.n_dropped == 3  # what was taken made room
    backlog.put_back([record(1), record(2)])
    assert (taken(backlog), backlog.n_dropped) == ([8, 9, 10, 11, 12], 5)


def test_the_newest_stays_however_large() -> None:
    backlog = Backlog(most_bytes=500)
    backlog.put(record(1))
    backlog.put(record(2, 9000))
    assert (taken(backlog), backlog.n_dropped) == ([2], 1)
