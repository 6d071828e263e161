"""Serving: ports of this machine on which a rehearsal's receivers are heard."""

import socket
import threading
from contextlib import suppress
from typing import Final

HOST: Final = "127.0.0.1"
_WAIT_S: Final = 0.2
_SEND_S: Final = 1.0
"""Who does not take a message for so long is let go: the others wait for nobody."""


class Port:
    """One TCP port, 0: chosen by the system; all who connect get what is sent from then on."""

    def __init__(self, number: int = 0) -> None:
        self._server = socket.create_server((HOST, number))
        self._server.settimeout(_WAIT_S)
        self.number = int(self._server.getsockname()[1])
        self._heard_by: list[socket.socket] = []
        self._lock, self._over = threading.Lock(), threading.Event()
        self._thread = threading.Thread(target=self._accept, daemon=True)
        self._thread.start()

    @property
    def where(self) -> str:
        """Return it as a flight file writes it."""
        return f"tcp://{HOST}:{self.number}"

    @property
    def n_listeners(self) -> int:
        """Return how many hear it now."""
        with self._lock:
            return len(self._heard_by)

    def send(self, data: bytes) -> None:
        """Send to all who listen; who is gone is forgotten."""
        with self._lock:
            for one in list(self._heard_by):
                try:
                    one.sendall(data)
                except OSError:
                    self._heard_by.remove(one)
                    one.close()

    def close(self) -> None:
        """Let all go, and give the port back."""
        self._over.set()
        self._thread.join(2.0 * _WAIT_S + _SEND_S)
        with self._lock:
            for one in (*self._heard_by, self._server):
                one.close()
            self._heard_by.clear()

    def _accept(self) -> None:
        while not self._over.is_set():
            with suppress(TimeoutError):
                one, _ = self._server.accept()
                one.settimeout(_SEND_S)
                with self._lock:
                    self._heard_by.append(one)
