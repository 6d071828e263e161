"""Serving: a real port of this machine, heard by several, none of whom holds up the others."""

import socket
from contextlib import closing

from farglide.live.rehearse.serving import HOST, Port

from ..feeds.ways import until


def heard(port: Port) -> socket.socket:
    one = socket.create_connection((HOST, port.number), timeout=2.0)
    n = port.n_listeners
    assert until(lambda: port.n_listeners > n or port.n_listeners > 0)
    return one


def test_all_who_listen_get_what_is_sent() -> None:
    with closing(Port()) as port:
        assert port.where == f"tcp://{HOST}:{port.number}"
        port.send(b"nobody hears this")
        with heard(port) as one, heard(port) as other:
            assert until(lambda: port.n_listeners == 2)
            port.send(b"$GNGGA\r\n")
            assert one.recv(100) == other.recv(100) == b"$GNGGA\r\n"


def test_who_is_gone_is_forgotten() -> None:
    with closing(Port()) as port:
        heard(port).close()

        def is_gone() -> bool:
            port.send(b"x" * 1000)
            return port.n_listeners == 0

        assert until(is_gone)


def test_a_closed_port_takes_nobody() -> None:
    port = Port()
    one = heard(port)
    port.close()
    assert one.recv(10) == b""
    one.close()
    with closing(socket.socket()) as late:
        assert late.connect_ex((HOST, port.number)) != 0
