"""Best of a few wall times, after one warm call."""

import time
from collections.abc import Callable
from typing import Any

Row = tuple[str, str, str]


def best_s(work: Callable[[], Any], n_times: int = 5) -> float:
    """The shortest wall time of several calls, after one that is not counted."""
    work()
    found = []
    for _ in range(n_times):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return min(found)
