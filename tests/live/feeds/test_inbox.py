"""Inbox: a flood loses its own oldest pieces, counted, and nothing of another feed."""

import threading

from farglide.live.feeds.inbox import Inbox
from farglide.track.reports import Raw


def piece(feed: str, n: int, size: int = 100) -> Raw:
    return Raw(feed=feed, monotonic_s=float(n), utc_s=1.8e9 + n, data=bytes([n % 256]) * size)


def drained(inbox: Inbox) -> list[Raw]:
    found: list[Raw] = []
    while came := inbox.take(0.0):
        found += came
    return found


def test_pieces_come_in_the_order_in_which_they_came() -> None:
    inbox = Inbox(["a", "b"])
    for n in range(10):
        inbox.put(piece("ab"[n % 2], n))
    assert [raw.monotonic_s for raw in inbox.take(0.0)] == list(range(10))
    assert inbox.take(0.0) == []


def test_a_flood_loses_its_oldest_and_tells_how_much() -> None:
    inbox = Inbox(["flood", "quiet"], most_bytes=10_000)
    inbox.put(piece("quiet", 0))
    for n in range(1, 1001):
        inbox.put(piece("flood", n))
    assert inbox.held_bytes("flood") == 10_000
    assert inbox.lost_bytes("flood") == 90_000
    assert inbox.lost_bytes("quiet") == 0
    kept = drained(inbox)
    assert [raw.monotonic_s for raw in kept] == [0.0, *range(901, 1001)]
    assert inbox.held_bytes("flood") == 0


def test_one_piece_larger_than_the_room_is_still_handed_on() -> None:
    inbox = Inbox(["a"], most_bytes=10)
    inbox.put(piece("a", 1))
    assert len(inbox.take(0.0)) == 1


def test_a_flood_leaves_others_their_turn() -> None:
    inbox = Inbox(["flood", "quiet"])
    for n in range(5000):
        inbox.put(piece("flood", n))
    inbox.put(piece("quiet", 5000))
    first = inbox.take(0.0)
    assert len(first) == 513
    assert first[-1].feed == "quiet"


def test_many_small_pieces_are_bounded_too() -> None:
    inbox = Inbox(["a"])
    for n in range(50_010):
        inbox.put(piece("a", n, 1))
    assert inbox.lost_bytes("a") == 10


def test_a_file_waits_until_half_of_the_room_is_free() -> None:
    inbox, waits = Inbox(["a"], most_bytes=1000), 0
    for n in range(8):
        inbox.put(piece("a", n))

    def wait(_: float) -> bool:
        nonlocal waits
        waits += 1
        if waits == 3:
            inbox.take(0.0)
        return False

    inbox.put_in_turn(piece("a", 9), wait)
    assert waits == 3
    assert [raw.monotonic_s for raw in inbox.take(0.0)] == [9.0]


def test_a_file_that_is_given_up_hands_on_nothing_more() -> None:
    inbox = Inbox(["a"], most_bytes=100)
    inbox.put(piece("a", 1))
    inbox.put_in_turn(piece("a", 2), lambda _: True)
    assert [raw.monotonic_s for raw in drained(inbox)] == [1.0]
    assert inbox.lost_bytes("a") == 0


def test_who_takes_waits_for_the_first_piece() -> None:
    inbox = Inbox(["a"])
    late = threading.Timer(0.1, inbox.put, [piece("a", 1)])
    late.start()
    assert len(inbox.take(5.0)) == 1
    late.join()
