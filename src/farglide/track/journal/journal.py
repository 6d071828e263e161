"""Journal: the log of a ride as it is written; no medium, full or gone, stops the ride."""

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.errors import InputError
from farglide.track.journal.backlog import Backlog
from farglide.track.journal.frame import Kind, Mark, Record, check_size
from farglide.track.journal.medium import Medium

SYNC_S: Final = 1.0
"""How often the log is put on the medium itself, and how often one that took nothing is tried."""
_AT_ONCE: Final = 5000  # records written from memory by one call, so that none takes a second

Run = Callable[[Callable[[], None]], object]
"""Runs a function: now, or on another thread, as `submit` of an executor does."""


class Moment(NamedTuple):
    """A time by both clocks of this machine; `monotonic_s` since the ride began, all sittings."""

    monotonic_s: float
    utc_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """Why the log is not being kept, since when, how much waits in memory, how much was lost."""

    why: str
    since_s: float  # monotonic
    n_waiting: int
    n_dropped: int

    def words(self) -> str:
        """Return what is wrong and what to do, in plain words."""
        lost = f" {self.n_dropped} older ones are lost." if self.n_dropped else ""
        waiting = f"{self.n_waiting} records wait in memory and are lost if this program ends."
        remedy = "Make room, or plug the medium in again: they are then written."
        return f"The log is not being kept: {self.why}. {waiting}{lost} {remedy}"


class Journal:
    """The log of one ride: `append` as often as there is something to keep, `close` at the end.

    `append` may be called from several threads. With `run` of an executor of one thread, the wait
    for the medium each second is on that. Made by `begin` and `resume` of
    `farglide.track.journal.opening`.
    """

    def __init__(self, medium: Medium, last: Record, run: Run | None = None) -> None:
        """`last` is the last record that the medium holds."""
        self.path: Final = medium.path
        self.last = last
        self._medium, self._run = medium, run or _now
        self._waiting = Backlog()
        self._unsynced: deque[Record] = deque()
        self._why, self._since_s = "", last.monotonic_s
        self._tried_s = self._synced_s = last.monotonic_s
        self._lock, self._is_syncing, self._is_closed = threading.Lock(), False, False

    @property
    def alarm(self) -> Alarm | None:
        """Return why the log is not being kept; None while it is."""
        if not self._why:
            return None
        n_waiting, n_dropped = len(self._waiting), self._waiting.n_dropped
        return Alarm(why=self._why, since_s=self._since_s, n_waiting=n_waiting, n_dropped=n_dropped)

    @property
    def n_dropped(self) -> int:
        """Return how many records no medium ever took; their numbers are missing in the log."""
        return self._waiting.n_dropped

    def append(self, kind: Kind, payload: bytes, when: Moment) -> int:
        """Return the number of a record, written; while there is an alarm, kept in memory.

        Without an alarm the system has it: the end of this process loses nothing, a power cut no
        more than `SYNC_S`, if a tick or else something comes each second. Raises InputError where
        the payload is too large, or after `close`.
        """
        check_size(payload)
        with self._lock:
            if self._is_closed:
                raise InputError("the log", "closed", "one that is open", "Resume it.")
            record = Record(
                kind=kind,
                number=self.last.number + 1,
                monotonic_s=when.monotonic_s,
                utc_s=when.utc_s,
                payload=payload,
            )
            self.last = record
            self._keep(record)
        self._sync_if_due(when.monotonic_s)
        return record.number

    def try_again(self, monotonic_s: float) -> None:
        """Write what waits in memory, if the medium takes it again."""
        with self._lock:
            self._retry(monotonic_s)

    def unkept(self, why: str) -> None:
        """Begin with an alarm: the medium could not be opened for writing."""
        self._why = why

    def close(self) -> None:
        """Write and synchronise what can be, and let go; what then waits in memory is lost."""
        self._sync()
        with self._lock:
            self._retry(self.last.monotonic_s)
        self._sync()
        with self._lock:
            self._is_closed = True
            self._medium.shut()

    def _keep(self, record: Record) -> None:
        if self._why:
            self._waiting.put(record)
            if _is_due(record.monotonic_s, self._tried_s):
                self._retry(record.monotonic_s)
            return
        try:
            self._write(record)
        except OSError as error:
            self._fail(error, record.monotonic_s)
            self._waiting.put(record)

    def _write(self, record: Record) -> None:
        self._medium.write(record)
        self._unsynced.append(record)

    def _retry(self, monotonic_s: float) -> None:
        """Write what waits; a medium that takes some but has not got all is asked again at once."""
        if not self._why:
            return
        try:
            self._medium.make_ready(self.last.number)
            for _ in range(min(len(self._waiting), _AT_ONCE)):
                self._write(self._waiting.first())
                self._waiting.take()
        except OSError as error:
            self._fail(error, monotonic_s)
            return
        if not self._waiting:
            self._why = ""

    def _fail(self, error: OSError, monotonic_s: float) -> None:
        self._alarm_of(error, monotonic_s)
        if self._medium.failed(error):
            self._write_again()

    def _alarm_of(self, error: OSError, monotonic_s: float) -> None:
        self._since_s = self._since_s if self._why else monotonic_s
        self._why, self._tried_s = error.strerror or str(error), monotonic_s

    def _write_again(self) -> None:
        self._waiting.put_back(self._unsynced)
        self._unsynced.clear()

    def _sync_if_due(self, monotonic_s: float) -> None:
        with self._lock:
            is_due = _is_due(monotonic_s, self._synced_s) and not self._is_syncing
            if not is_due or not self._unsynced:
                return
            self._synced_s, self._is_syncing = monotonic_s, True
        try:
            self._run(self._sync)
        except RuntimeError:  # an executor that takes nothing any more: late, but not lost
            self._sync()

    def _sync(self) -> None:
        """Put on the medium what the system has; nobody who appends waits for it."""
        with self._lock:
            self._is_syncing = bool(self._unsynced)
            if not self._unsynced:
                return
            try:
                sync = self._medium.to_sync()
            except (
                OSError
            ) as error:  # no handle to be had: what is written stays, and is tried again
                self._is_syncing = False
                self._alarm_of(error, self.last.monotonic_s)
                return
        failure = sync.failure()
        with self._lock:
            self._is_syncing = False
            if failure is not None:
                self._medium.let_go()
                self._alarm_of(failure, self.last.monotonic_s)
                self._write_again()
            elif self._medium.synchronised(sync):
                self._let_synced_go(sync.mark)

    def _let_synced_go(self, mark: Mark) -> None:
        while self._unsynced and self._unsynced[0].number <= mark.number:
            self._unsynced.popleft()


def _is_due(monotonic_s: float, since_s: float) -> bool:
    """Tell whether a second has passed, or the clock was set back."""
    return not 0.0 <= monotonic_s - since_s < SYNC_S


def _now(work: Callable[[], None]) -> None:
    work()
