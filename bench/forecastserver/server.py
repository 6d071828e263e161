"""Server: answers like the producers' own on 127.0.0.1, with what goes wrong when it is told to."""

import hashlib
import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Event, Thread
from typing import Any, Final, NamedTuple

from bench.forecastserver.faults import PAGE, Fault, Faults, Kind
from bench.forecastserver.library import Found, Library

_RANGE: Final = re.compile(r"bytes=(\d+)-(\d*)")
_PIECE_BYTES: Final = 1 << 14


class Request(NamedTuple):
    """One request that came."""

    target: str
    span: str
    connection: int


@dataclass(slots=True)
class Manner:
    """How the server answers: with what faults, how fast, and whether it tells how to go on."""

    library: Library
    faults: Faults = field(default_factory=Faults)
    bytes_a_second: float = 0.0  # 0: as fast as it goes
    has_etags: bool = True
    crops: bool = True
    requests: list[Request] = field(default_factory=list)
    ended: Event = field(default_factory=Event)


class Server(ThreadingHTTPServer):
    """The server with its manner."""

    daemon_threads = True
    manner: Manner

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say nothing: whoever asked is gone."""


@contextmanager
def serving(manner: Manner, port: int = 0) -> Iterator[str]:
    """Yield the address of a server that runs until this ends."""
    server = Server(("127.0.0.1", port), _Handler)
    server.manner = manner
    thread = Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01})
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        manner.ended.set()
        server.shutdown()
        thread.join()
        server.server_close()


class _Handler(BaseHTTPRequestHandler):
    """Answers the requests of one connection."""

    protocol_version = "HTTP/1.1"
    server: Server

    def log_message(self, *_: object) -> None:
        """Say nothing."""

    def do_GET(self) -> None:
        """Answer one request."""
        manner = self.server.manner
        span = self.headers.get("Range", "")
        manner.requests.append(Request(self.path, span, id(self.connection)))
        fault = manner.faults.next(self.path)
        if fault is not None and fault.kind is Kind.STATUS:
            self._refuse(fault.status, fault.retry_after)
        elif fault is not None and fault.kind is Kind.PAGE:
            self._send(200, PAGE, {"Content-Type": "text/html"}, None)
        elif (found := self._found()) is None:
            self._refuse(404, "")
        else:
            self._answer(found, span, fault)

    def _found(self) -> Found | None:
        manner = self.server.manner
        is_off = "cgi-bin" in self.path and not manner.crops
        return None if is_off else manner.library.find(self.path)

    def _answer(self, found: Found, span: str, fault: Fault | None) -> None:
        data, headers = found.data, {"Content-Type": "application/octet-stream"}
        etag = f'"{hashlib.sha256(data).hexdigest()[:16]}"'
        if found.takes_ranges:
            headers["Accept-Ranges"] = "bytes"
            if self.server.manner.has_etags:
                headers["ETag"] = etag
        asked = _RANGE.fullmatch(span) if found.takes_ranges else None
        if asked is None or self.headers.get("If-Range", etag) != etag:
            self._send(200, data, headers, fault)
            return
        first, last = int(asked[1]), int(asked[2] or len(data) - 1)
        if first >= len(data):
            self._refuse(416, "")
            return
        last = min(last, len(data) - 1)
        headers["Content-Range"] = f"bytes {first}-{last}/{len(data)}"
        more = 1 if fault is not None and fault.kind is Kind.OTHER else 0
        self._send(206, data[first : last + 1 + more], headers, fault)

    def _send(self, status: int, data: bytes, headers: dict[str, str], fault: Fault | None) -> None:
        if fault is not None and fault.kind is Kind.LESS:
            data = data[:-100]
        if fault is not None and fault.kind is Kind.SCRAMBLED:
            data = data[:20] + bytes([data[20] ^ 0xFF]) + data[21:-4] + b"7778"
        self.send_response(status)
        for name, value in {**headers, "Content-Length": str(len(data))}.items():
            self.send_header(name, value)
        self.end_headers()
        if fault is not None and fault.kind in (Kind.CUT, Kind.STALL):
            self._write(data[: fault.after_bytes])
            if fault.kind is Kind.STALL:
                self.server.manner.ended.wait(30.0)
            self.close_connection = True
            return
        self._write(data)

    def _write(self, data: bytes) -> None:
        speed = self.server.manner.bytes_a_second
        for place in range(0, len(data), _PIECE_BYTES):
            piece = data[place : place + _PIECE_BYTES]
            self.wfile.write(piece)
            if speed:
                time.sleep(len(piece) / speed)

    def _refuse(self, status: int, retry_after: str) -> None:
        body = f"<html><head><title>{status} from this server</title></head></html>".encode()
        self.send_response(status)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        if retry_after:
            self.send_header("Retry-After", retry_after)
        self.end_headers()
        self.wfile.write(body)
