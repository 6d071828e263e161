"""Sources: ports and files of this machine, read as they come."""

import os
import socket
from pathlib import Path

import pytest

from farglide.live.feeds.sources import (
    FeedEndedError,
    Source,
    open_source,
    serial_ports,
)
from farglide.sortie.feeds import where_of

from .ways import free_port


def gathered(source: Source, n: int) -> bytes:
    """Return what comes of a source until so many bytes are there."""
    data = b""
    for _ in range(50):
        data += source.read()
        if len(data) >= n:
            break
    return data


def test_a_tcp_port_is_greeted_and_read_until_it_closes() -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        port = server.getsockname()[1]
        source = open_source(where_of(f"tcp://127.0.0.1:{port}"), b"hello\n")
        other, _ = server.accept()
        assert other.recv(100) == b"hello\n"
        assert source.read() == b""
        other.sendall(b"line\n")
        assert gathered(source, 5) == b"line\n"
        other.close()
        with pytest.raises(ConnectionResetError, match="closed the connection"):
            source.read()
        source.close()


def test_a_tcp_port_that_nobody_listens_on_is_not_there() -> None:
    with pytest.raises(OSError, match="refused"):
        open_source(where_of(f"tcp://127.0.0.1:{free_port()}"))


def test_datagrams_are_handed_on_one_by_one() -> None:
    port = free_port(socket.SOCK_DGRAM)
    source = open_source(where_of(f"udp://127.0.0.1:{port}"))
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as other:
        other.sendto(b"one", ("127.0.0.1", port))
        other.sendto(b"two", ("127.0.0.1", port))
    assert [source.read(), source.read()] == [b"one", b"two"]
    assert source.read() == b""
    with pytest.raises(OSError, match="in use"):
        open_source(where_of(f"udp://127.0.0.1:{port}"))
    source.close()


def test_a_file_is_read_to_its_end(tmp_path: Path) -> None:
    file = tmp_path / "log.txt"
    file.write_bytes(b"x" * 100_000)
    source = open_source(where_of(f"file:{file}"))
    assert len(gathered(source, 100_000)) == 100_000
    with pytest.raises(FeedEndedError):
        source.read()
    source.close()


def test_a_file_is_followed_as_it_grows_and_as_it_is_begun_anew(tmp_path: Path) -> None:
    file = tmp_path / "log.txt"
    file.write_bytes(b"first\n")
    source = open_source(where_of(f"file:{file}?follow"))
    assert source.read() == b"first\n"
    assert source.read() == b""
    with file.open("ab") as more:
        more.write(b"second\n")
    assert source.read() == b"second\n"
    file.write_bytes(b"anew\n")
    assert gathered(source, 5) == b"anew\n"
    source.close()


def test_a_serial_port_is_read_in_bursts_until_it_is_unplugged() -> None:
    pytest.importorskip("serial")
    mine, theirs = os.openpty()
    source = open_source(where_of(f"serial:{os.ttyname(theirs)}?baud=9600"))
    assert source.read() == b""
    os.write(mine, b"$GPGGA,1\r\n")
    assert gathered(source, 10) == b"$GPGGA,1\r\n"
    os.close(theirs)
    os.close(mine)
    with pytest.raises(OSError, match=r"."):
        gathered(source, 1)
    source.close()


def test_a_serial_port_that_is_not_there_says_so() -> None:
    pytest.importorskip("serial")
    with pytest.raises(OSError, match="No such file"):
        open_source(where_of("serial:/dev/no-such-port"))


def test_serial_ports_are_listed_by_their_names(monkeypatch: pytest.MonkeyPatch) -> None:
    list_ports = pytest.importorskip("serial.tools.list_ports")
    info = pytest.importorskip("serial.tools.list_ports_common").ListPortInfo
    one, other = info("/dev/ttyUSB1"), info("/dev/ttyUSB0")
    other.description = "USB receiver"
    monkeypatch.setattr(list_ports, "comports", lambda: [one, other])
    assert serial_ports() == ["/dev/ttyUSB0 (USB receiver)", "/dev/ttyUSB1"]
