"""Executors: who does the work on many draws."""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from itertools import pairwise

from farglide.errors import InputError

_CHUNKS_PER_THREAD = 4


def on_threads(n_threads: int | None = None) -> Callable[[Callable[[int, int], None], int], None]:
    """Return workers: threads of this process; kernels release the interpreter lock.

    Each draw is worked on by itself, so the number of threads changes no bit of any result.
    Valid: 1 to 256 threads; None takes the machine's cores.
    """
    n_workers = n_threads if n_threads is not None else _n_cores()
    if not 1 <= n_workers <= 256:
        raise InputError("n_threads", n_workers, "1 to 256")
    if n_workers == 1:
        return lambda work, n: work(0, n)
    pool = ThreadPoolExecutor(n_workers, thread_name_prefix="farglide")

    def share_out(work: Callable[[int, int], None], n: int) -> None:
        n_chunks = min(n, n_workers * _CHUNKS_PER_THREAD)
        edges = [n * i // n_chunks for i in range(n_chunks + 1)] if n_chunks else [0]
        futures = [pool.submit(work, a, b) for a, b in pairwise(edges)]
        wait(futures)  # all of them, so that nothing is still being written when an error leaves
        for future in futures:
            future.result()

    return share_out


def _n_cores() -> int:
    """Return the cores this process may use; where the system does not say, all there are."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), 256)
    return min(os.cpu_count() or 1, 256)
