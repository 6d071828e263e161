"""What tests of feeds share: clocks that tick by hand, and waiting for another thread."""

import socket
import time
from collections.abc import Callable

from farglide.live.feeds.reader import Clocks
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.track.codecs.sentence import checksum


def spec(where: str, name: str = "tracker", **others: object) -> FeedSpec:
    return FeedSpec(name=name, where=where_of(where), format="nmea", **others)  # type: ignore[arg-type]


def ticking() -> Clocks:
    """Return clocks that go on by a millisecond whenever they are read."""
    n = [0]

    def monotonic_s() -> float:
        n[0] += 1
        return n[0] * 1e-3

    return Clocks(monotonic_s, lambda: 1.8e9 + n[0] * 1e-3)


def until(is_so: Callable[[], bool], most_s: float = 5.0) -> bool:
    """Tell whether something came to be so."""
    for _ in range(int(most_s / 0.01)):
        if is_so():
            return True
        time.sleep(0.01)
    return False


def free_port(kind: int = socket.SOCK_STREAM) -> int:
    with socket.socket(socket.AF_INET, kind) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def gga(clock: str, lat: str = "4807.038", height_m: float = 545.4) -> bytes:
    body = f"GPGGA,{clock},{lat},N,01131.000,E,1,08,0.9,{height_m},M,46.9,M,,".encode()
    return b"$%s*%02X\r\n" % (body, checksum(body))
