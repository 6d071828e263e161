"""Faults: what can go wrong with an answer, once or for as often as is stated."""

from dataclasses import dataclass, field
from enum import StrEnum
from threading import Lock

PAGE = (
    b"<!doctype html><html><head><title>Sign in to the guest network</title></head>"
    b"<body><h1>Welcome</h1></body></html>"
)


class Kind(StrEnum):
    """What goes wrong."""

    STATUS = "another status than success"
    CUT = "the connection ends after some bytes"
    LESS = "fewer bytes, and the head agrees"
    OTHER = "the head announces one byte more than was asked for, and it comes"
    PAGE = "a web page in place of data"
    STALL = "nothing more comes after some bytes"
    SCRAMBLED = "one byte is another"


@dataclass(slots=True)
class Fault:
    """One thing that goes wrong with answers whose path holds a text."""

    kind: Kind
    within: str = ""
    times: int = 1
    status: int = 503
    retry_after: str = ""
    after_bytes: int = 1000


@dataclass(slots=True)
class Faults:
    """Those still to come, in order."""

    waiting: list[Fault] = field(default_factory=list)
    _lock: Lock = field(default_factory=Lock)

    def next(self, path: str) -> Fault | None:
        """Return what goes wrong with the next answer of a path."""
        with self._lock:
            for fault in self.waiting:
                if fault.within in path and fault.times > 0:
                    fault.times -= 1
                    return fault
        return None
