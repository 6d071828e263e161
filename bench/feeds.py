"""Feeds: lines a second of the NMEA codec, beside a general parser, and a flood over a socket."""

import importlib
import importlib.util
import socket
import threading
import time
from collections.abc import Callable
from typing import Any, Final

from bench.timing import Row
from farglide.live.feeds.listening import listen
from farglide.live.feeds.reader import Clocks
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.codecs.sentence import checksum
from farglide.track.reports import Raw

N_EPOCHS: Final = 5_000
LINES_PER_S: Final = 2_000
FLOOD_S: Final = 60.0
_BATCHES_PER_S: Final = 50
_GENERAL: Final = "pynmea2"
_TOLD: Final = ("latitude", "longitude", "altitude", "geo_sep", "spd_over_grnd", "true_course")


def feeds_rows(flood_s: float = FLOOD_S) -> list[Row]:
    """Lines a second of the processor, against the general parser where there is one; a flood."""
    lines = [line for n in range(N_EPOCHS) for line in _epoch(n)]
    data = b"".join(lines)
    ours_s = _busy_s(lambda: _fixes(data))
    ours = f"{len(lines) / ours_s:,.0f} lines/s"
    rows = [("NMEA lines to fixes, three sentences each", ours, f"bar {LINES_PER_S:,} lines/s")]
    if importlib.util.find_spec(_GENERAL) is None:
        rows.append((f"  against {_GENERAL}", "not installed", ""))
    else:
        general_s = _busy_s(_general(lines))
        rows.append((f"  against {_GENERAL}, values read", f"{general_s / ours_s:.1f} x", ""))
    return [*rows, _flood_row(flood_s)]


def _busy_s(work: Callable[[], object], n_times: int = 5) -> float:
    """Return the least time of the processor that work takes: others may be at it as well."""
    found = []
    for _ in range(n_times + 1):
        began_s = time.process_time()
        work()
        found.append(time.process_time() - began_s)
    return min(found[1:])


def _epoch(n: int) -> tuple[bytes, ...]:
    """Return the sentences of one moment, a fifth of a second after the last."""
    s = n / 5.0
    clock = f"{int(s // 3600) % 24:02d}{int(s // 60) % 60:02d}{s % 60.0:05.2f}"
    place = f"48{n % 6000 / 100.0:08.5f},N,011{n % 6000 / 100.0:08.5f},E"
    bodies = (
        f"GPGGA,{clock},{place},1,08,0.9,{500 + n}.4,M,46.9,M,,",
        f"GPRMC,{clock},A,{place},022.4,084.4,230127,003.1,W,A",
        "GPVTG,084.4,T,,M,22.4,N,41.5,K,A",
    )
    return tuple(b"$%s*%02X\r\n" % (body.encode(), checksum(body.encode())) for body in bodies)


def _fixes(data: bytes) -> int:
    """How many fixes come of a stream in batches of 4 kB; none may be lost."""
    codec = NmeaCodec(FeedSpec(name="a", where=where_of("serial:x"), format="nmea"))
    n = 0
    for at in range(0, len(data), 4096):
        piece = data[at : at + 4096]
        n += len(codec.take(Raw(feed="a", monotonic_s=0.0, utc_s=1.8e9, data=piece)))
    n += len(codec.flush())
    if n != N_EPOCHS:
        raise RuntimeError(f"{n} fixes of {N_EPOCHS}")
    return n


def _general(lines: list[bytes]) -> Callable[[], None]:
    """Return the same lines read by the general parser, the same values asked for."""
    parse: Any = importlib.import_module(_GENERAL).parse
    texts = [line.decode("ascii") for line in lines]

    def read() -> None:
        for text in texts:
            said = parse(text, check=True)
            for name in _TOLD:
                getattr(said, name, None)

    return read


def _flood_row(flood_s: float) -> Row:
    """A flood of lines over a local UDP socket, beside a quiet feed, and what was lost."""
    ports = [_free_port(), _free_port()]
    clocks = Clocks(time.monotonic, time.time)
    specs = [
        FeedSpec(name=name, where=where_of(f"udp://127.0.0.1:{port}"), format="nmea")
        for name, port in zip(("flood", "quiet"), ports, strict=True)
    ]
    n_sent = [0, 0]
    sender = threading.Thread(target=_send, args=(ports, flood_s, n_sent), daemon=True)
    sender.start()
    began_s = time.process_time()
    heard = listen(specs, flood_s + 2.0, clocks)
    busy_ratio = (time.process_time() - began_s) / flood_s
    sender.join()
    lost = sum(n_sent) - sum(one.tally.n_pieces for one in heard)
    told = f"{lost} of {sum(n_sent):,} lost, {100.0 * busy_ratio:.0f} % of a core"
    return (f"{LINES_PER_S:,} lines/s over UDP for {flood_s:.0f} s, sender in it", told, "bar 0")


def _send(ports: list[int], flood_s: float, n_sent: list[int]) -> None:
    """Send lines in even batches, and now and then one to the quiet feed."""
    time.sleep(0.5)
    n_batch = LINES_PER_S // _BATCHES_PER_S
    lines = [line for n in range(N_EPOCHS) for line in _epoch(n)]
    began_s = time.monotonic()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as out:
        for batch in range(int(flood_s * _BATCHES_PER_S)):
            for i in range(n_batch):
                out.sendto(lines[(batch * n_batch + i) % len(lines)], ("127.0.0.1", ports[0]))
            n_sent[0] += n_batch
            if batch % _BATCHES_PER_S == 0:
                out.sendto(lines[0], ("127.0.0.1", ports[1]))
                n_sent[1] += 1
            due_s = began_s + (batch + 1) / _BATCHES_PER_S
            time.sleep(max(due_s - time.monotonic(), 0.0))


def _free_port() -> int:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])
