"""Listening: several feeds at once, each with what came of it."""

import socket
import threading
import time
from pathlib import Path

import pytest

from farglide.live.feeds.listening import FeedHeard, listen
from farglide.live.feeds.reader import Clocks, Condition, State
from farglide.track.codecs.codecs import codec_of
from farglide.track.reports import Raw

from .ways import free_port, gga, spec

REAL = Clocks(time.monotonic, lambda: 1_800_705_600.0)


def test_files_are_read_through_and_the_rest_told(tmp_path: Path) -> None:
    file = tmp_path / "log.txt"
    file.write_bytes(b"".join(gga(f"12{n // 60:02d}{n % 60:02d}") for n in range(600)))
    noise = tmp_path / "noise.txt"
    noise.write_bytes(b"\x80\xff noise\n" * 50)
    empty = tmp_path / "empty.txt"
    empty.write_bytes(b"")
    began_s = time.monotonic()
    one, other, nothing = listen(
        [spec(f"file:{file}"), spec(f"file:{noise}", "car"), spec(f"file:{empty}", "third")],
        30.0, REAL,
    )  # fmt: skip
    assert time.monotonic() - began_s < 10.0
    assert (one.word, other.word, nothing.word) == ("heard", "garbage", "silent")
    assert one.tally.n_reports == 600
    assert one.last_fix is not None
    assert one.last_fix.height_m == 545.4
    assert other.tally.n_unread == 50
    assert one.n_lost_bytes == 0


def test_a_flood_beside_a_quiet_feed_loses_nothing_of_either(tmp_path: Path) -> None:
    flood, quiet = free_port(), free_port(socket.SOCK_DGRAM)
    lines = [gga(f"{n // 3600:02d}{n // 60 % 60:02d}{n % 60:02d}") for n in range(20_000)]

    def send() -> None:
        with socket.create_server(("127.0.0.1", flood)) as server:
            other, _ = server.accept()
            with other, socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as beside:
                other.sendall(b"".join(lines))
                time.sleep(0.5)  # the quiet port is listened at by then
                for n in range(10):
                    beside.sendto(gga(f"1200{n:02d}"), ("127.0.0.1", quiet))
                time.sleep(0.5)

    sender = threading.Thread(target=send)
    sender.start()
    one, other = listen(
        [spec(f"tcp://127.0.0.1:{flood}"), spec(f"udp://127.0.0.1:{quiet}", "car")], 3.0, REAL
    )
    sender.join()
    assert one.tally.n_pieces == 20_000
    assert other.tally.n_pieces == 10
    assert (one.n_lost_bytes, other.n_lost_bytes) == (0, 0)


@pytest.mark.parametrize(
    ("state", "data", "word"),
    [
        (State.AWAY, b"", "not there"),
        (State.OPEN, b"", "silent"),
        (State.OPEN, gga("120000").replace(b",E,1,", b",E,0,"), "garbage"),
        (State.OPEN, b"half", "no fix"),
    ],
)  # fmt: skip
def test_how_a_feed_fares_in_a_word(state: State, data: bytes, word: str) -> None:
    feed = spec("serial:x")
    one = FeedHeard(feed, Condition(state=state), codec_of(feed))
    one.take(Raw(feed="tracker", monotonic_s=1.0, utc_s=1.8e9, data=data))
    assert one.word == word
