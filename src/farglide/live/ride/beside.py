"""Beside: slow tables made on a second thread, as a ride goes on, or ahead of a replay."""

from collections.abc import Iterable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import Final

from farglide.live.ride.tables import Made, Make
from farglide.live.ride.task import Task

_AT_ONCE: Final = 2
_AHEAD: Final = 3
"""Tables that a replay makes at once, and those that it makes or holds ready."""


class Beside:
    """Makes tables on a second thread, one at a time, and hands them out when they are asked for.

    Called as a `Maker` is; the last ones are kept.
    """

    def __init__(self, make: Make) -> None:
        self._make, self._pool = make, ThreadPoolExecutor(1, thread_name_prefix="slow")
        self._task: Task | None = None
        self._future: Future[Made] | None = None
        self._last: tuple[int, Made] | None = None

    def begin(self, task: Task) -> None:
        """Begin with a task; the one before must be done."""
        self._task, self._future = task, self._pool.submit(self._make, task)

    def take(self) -> bool:
        """Take the tables that are done, to be asked for from now on; tell whether there are."""
        if self._task is None or self._future is None or not self._future.done():
            return False
        self._last = (self._task.number, self._future.result())
        self._task = self._future = None
        return True

    @property
    def is_busy(self) -> bool:
        """Tell whether a task was begun whose tables were not taken yet."""
        return self._future is not None

    def __call__(self, task: Task) -> Made:
        """Return the tables of a task, made now where they were not yet."""
        if self._last is None or self._last[0] != task.number:
            self._last = (task.number, self._make(task))
        return self._last[1]

    def close(self, within_s: float = 0.0) -> bool:
        """Let the thread end, what it is at is of no use; tell whether it did, within so long."""
        self._pool.shutdown(wait=False, cancel_futures=True)
        return self._future is None or not wait([self._future], within_s).not_done


class Again:
    """Makes tables for a replay, on threads beside, before it comes to where they are used.

    Called as a `Maker` is; the last ones asked for are kept. `tasks`: in the order of the log, each
    asked for later, or never; a few are made or ready at any time. `make`: called on two threads.
    """

    def __init__(self, make: Make, tasks: Iterable[Task] = ()) -> None:
        self._make, self._pool = make, ThreadPoolExecutor(_AT_ONCE, thread_name_prefix="again")
        self._tasks = iter(tasks)
        self._begun: list[tuple[Task, Future[Made]]] = []
        self._last: tuple[int, Made] | None = None

    def __call__(self, task: Task) -> Made:
        """Return the tables of a task."""
        if self._last is None or self._last[0] != task.number:
            self._last = (task.number, self._future(task).result())
            self._begin_more()
        return self._last[1]

    def _future(self, task: Task) -> Future[Made]:
        """Return what makes a task; those of the log before it are of no use any more."""
        self._begin_more()
        while self._begun and self._begun[0][0].number < task.number:
            self._begun.pop(0)[1].cancel()
            self._begin_more()
        if self._begun and self._begun[0][0] == task:
            return self._begun.pop(0)[1]
        # a place that the stories tell is not known ahead of them: what was made is of no use
        return self._pool.submit(self._make, task)

    def _begin_more(self) -> None:
        while len(self._begun) < _AHEAD and (task := next(self._tasks, None)) is not None:
            self._begun.append((task, self._pool.submit(self._make, task)))

    def close(self) -> None:
        """Let the threads end."""
        self._pool.shutdown(wait=True, cancel_futures=True)
