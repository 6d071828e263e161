"""Readers: a port that goes and comes back is read again, and a flood stays in its own feed."""

import os
import socket
from pathlib import Path

import pytest

from farglide.live.feeds import reader as reading
from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import FeedReader, Patience, State

from .ways import free_port, spec, ticking, until

QUICK = Patience(first_s=0.02, most_s=0.1)


def test_a_port_that_comes_late_goes_and_comes_back_is_read(tmp_path: Path) -> None:
    port = free_port()
    inbox = Inbox(["tracker"])
    one = FeedReader(spec(f"tcp://127.0.0.1:{port}"), inbox, ticking(), QUICK)
    one.start()
    assert until(lambda: one.condition.state is State.AWAY)
    assert "refused" in one.condition.why
    for n in range(2):
        with socket.create_server(("127.0.0.1", port)) as server:
            other, _ = server.accept()
            other.sendall(b"line %d\n" % n)
            (raw,) = inbox.take(5.0)
            assert raw.data == b"line %d\n" % n
            assert raw.utc_s == pytest.approx(1.8e9 + raw.monotonic_s, abs=0.01)
            assert one.condition.state is State.OPEN
            other.close()
        assert until(lambda: one.condition.state is State.AWAY)
    assert one.condition.n_opened == 2
    one.stop()


def test_a_serial_port_unplugged_and_back_is_read_again(tmp_path: Path) -> None:
    pytest.importorskip("serial")
    link = tmp_path / "receiver"
    inbox = Inbox(["tracker"])
    one = FeedReader(spec(f"serial:{link}"), inbox, ticking(), QUICK)
    one.start()
    assert until(lambda: one.condition.state is State.AWAY)
    for n in range(2):
        mine, theirs = os.openpty()
        link.symlink_to(os.ttyname(theirs))
        assert until(lambda: one.condition.state is State.OPEN)
        os.write(mine, b"line %d\n" % n)
        assert b"".join(raw.data for raw in inbox.take(5.0)) == b"line %d\n" % n
        link.unlink()
        os.close(theirs)
        os.close(mine)
        assert until(lambda: one.condition.state is State.AWAY)
    one.stop()


def test_a_file_ends_and_says_so(tmp_path: Path) -> None:
    file = tmp_path / "log.txt"
    file.write_bytes(b"one\ntwo\n")
    inbox = Inbox(["tracker"])
    one = FeedReader(spec(f"file:{file}"), inbox, ticking(), QUICK)
    one.start()
    assert until(lambda: one.condition.state is State.ENDED)
    assert [raw.data for raw in inbox.take(0.0)] == [b"one\ntwo\n"]
    assert one.condition.last_monotonic_s is not None
    one.stop()


def test_it_is_opened_again_later_and_later(monkeypatch: pytest.MonkeyPatch) -> None:
    waits: list[float] = []
    one = FeedReader(spec("file:no such file"), Inbox(["tracker"]), ticking(), Patience(0.5, 3.0))

    def wait(seconds: float) -> bool:
        waits.append(seconds)
        if len(waits) == 5:
            one._over.set()
        return True

    monkeypatch.setattr(one._over, "wait", wait)
    one._run()
    assert waits == [0.5, 1.0, 2.0, 3.0, 3.0]
    assert one.condition.why == "No such file or directory"


def test_whatever_a_driver_raises_is_told_and_the_feed_tried_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    n = [0]

    def fails(_: object, __: bytes) -> None:
        n[0] += 1
        raise RuntimeError("the driver is confused")

    monkeypatch.setattr(reading, "open_source", fails)
    one = FeedReader(spec("serial:x"), Inbox(["tracker"]), ticking(), QUICK)
    one.start()
    assert until(lambda: n[0] > 1)
    assert (one.condition.state, one.condition.why) == (State.AWAY, "the driver is confused")
    one.stop()


def test_only_the_daemon_of_its_protocol_is_greeted(monkeypatch: pytest.MonkeyPatch) -> None:
    greetings: list[bytes] = []

    def refuses(_: object, greeting: bytes) -> None:
        greetings.append(greeting)
        raise OSError("not there")

    monkeypatch.setattr(reading, "open_source", refuses)
    for form in ("nmea", "packet", "mavlink", "gpsd"):
        feed = reading.FeedSpec(
            name="a",
            where=spec("tcp://127.0.0.1:1").where,
            format=form,  # type: ignore[arg-type]
        )
        with pytest.raises(OSError, match="not there"):
            FeedReader(feed, Inbox(["a"]), ticking())._listen()
    assert greetings[:3] == [b"", b"", b""]
    assert greetings[3].startswith(b"?WATCH=")


def test_a_reader_that_was_never_begun_ends_at_once() -> None:
    FeedReader(spec("udp://:1"), Inbox(["tracker"]), ticking()).stop()
