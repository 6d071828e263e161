"""Sources: serial ports, TCP and UDP ports and files, each read in pieces as they come."""

import socket
import time
from collections.abc import Callable
from pathlib import Path
from typing import Final, Protocol

from farglide.sortie.feeds import Where

WAIT_S: Final = 0.2
"""How long one read waits for bytes, so that a feed can be ended."""
_CONNECT_S: Final = 3.0
_GATHER_S: Final = 0.02
"""Bytes of a serial port dribble in: those of one burst are handed on together."""
_MOST_BYTES: Final = 65_536
_SYSTEM_HOLDS: Final = 4 << 20
"""What the system is asked to hold of datagrams while this thread waits for the processor."""


class FeedEndedError(Exception):
    """A file was read to its end, and nobody goes on writing it."""


class Source(Protocol):
    """What bytes can be read from."""

    def read(self) -> bytes:
        """Return what has come, nothing after a short wait. Raises OSError, FeedEndedError."""

    def close(self) -> None:
        """Give it back to the system."""


class TcpSource:
    """A TCP port that somebody listens on; `greeting` is what its protocol asks for first."""

    def __init__(self, where: Where, greeting: bytes = b"") -> None:
        self._socket = socket.create_connection((where.host, where.port), timeout=_CONNECT_S)
        self._socket.settimeout(WAIT_S)
        if greeting:
            self._socket.sendall(greeting)

    def read(self) -> bytes:
        """Return what has come, nothing after a short wait. Raises OSError where it was closed."""
        try:
            data = self._socket.recv(_MOST_BYTES)
        except TimeoutError:
            return b""
        if not data:
            raise ConnectionResetError("the other end closed the connection")
        return data

    def close(self) -> None:
        """Close the connection."""
        self._socket.close()


class UdpSource:
    """A UDP port of this machine; each datagram is handed on by itself."""

    def __init__(self, where: Where) -> None:
        family = socket.AF_INET6 if ":" in where.host else socket.AF_INET
        self._socket = socket.socket(family, socket.SOCK_DGRAM)
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, _SYSTEM_HOLDS)
        self._socket.settimeout(WAIT_S)
        try:
            self._socket.bind((where.host, where.port))
        except OSError:
            self._socket.close()
            raise

    def read(self) -> bytes:
        """Return one datagram, nothing after a short wait. Raises OSError."""
        try:
            return self._socket.recv(_MOST_BYTES)
        except TimeoutError:
            return b""

    def close(self) -> None:
        """Give the port back."""
        self._socket.close()


class FileSource:
    """A file: read once, or followed as it grows, also where it is begun anew."""

    def __init__(self, where: Where) -> None:
        self._path, self._follows = Path(where.path), where.follows
        self._file = self._path.open("rb")

    def read(self) -> bytes:
        """Return the next part, nothing after a short wait. Raises OSError, FeedEndedError."""
        data = self._file.read(_MOST_BYTES)
        if data:
            return data
        if not self._follows:
            raise FeedEndedError
        if self._path.stat().st_size < self._file.tell():
            self._file.seek(0)
            return self._file.read(_MOST_BYTES)
        time.sleep(WAIT_S)
        return b""

    def close(self) -> None:
        """Close the file."""
        self._file.close()


class SerialSource:
    """A serial port, 8 bits, no parity, one stop bit."""

    def __init__(self, where: Where) -> None:
        import serial  # only who has such a port waits for it

        self._port = serial.Serial(where.path, where.baud, timeout=WAIT_S)

    def read(self) -> bytes:
        """Return one burst, nothing after a short wait. Raises OSError where it is unplugged."""
        data = bytes(self._port.read(1))
        if data:
            time.sleep(_GATHER_S)
            data += self._port.read(min(self._port.in_waiting, _MOST_BYTES))
        return data

    def close(self) -> None:
        """Give the port back."""
        self._port.close()


def open_source(where: Where, greeting: bytes = b"") -> Source:
    """Return what a feed is read from, open. Raises OSError."""
    if where.kind == "tcp":
        return TcpSource(where, greeting)
    ways: dict[str, Callable[[Where], Source]] = {
        "udp": UdpSource,
        "file": FileSource,
        "serial": SerialSource,
    }
    return ways[where.kind](where)


def serial_ports() -> list[str]:
    """Return the serial ports that this machine has now, with what they say of themselves."""
    from serial.tools import list_ports  # it looks through the system's devices: only when asked

    ports = sorted(list_ports.comports(), key=lambda one: str(one.device))
    return [
        f"{one.device}" + (f" ({one.description})" if one.description != "n/a" else "")
        for one in ports
    ]
