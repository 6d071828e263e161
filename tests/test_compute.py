"""Executors: every stretch once, the same result on any number of threads, errors come through."""

import os
import threading

import numpy as np
import pytest

from farglide.compute import on_threads
from farglide.errors import InputError


def stretches(n_threads: int | None, n: int) -> list[tuple[int, int]]:
    taken: list[tuple[int, int]] = []
    lock = threading.Lock()

    def work(first: int, last: int) -> None:
        with lock:
            taken.append((first, last))

    on_threads(n_threads)(work, n)
    return sorted(taken)


@pytest.mark.parametrize("n_threads", [1, 2, 3, None])
@pytest.mark.parametrize("n", [1, 2, 7, 8, 1000])
def test_stretches_cover_all_draws_once(n_threads: int | None, n: int) -> None:
    covered = [i for first, last in stretches(n_threads, n) for i in range(first, last)]
    assert covered == list(range(n))


@pytest.mark.parametrize("n_threads", [1, 2])
def test_nothing_to_do_is_done(n_threads: int) -> None:
    assert [a for a in stretches(n_threads, 0) if a[1] > a[0]] == []


def test_one_thread_works_in_the_callers() -> None:
    seen: list[int] = []
    on_threads(1)(lambda first, last: seen.append(threading.get_ident()), 5)
    assert seen == [threading.get_ident()]


def test_two_threads_work_at_once() -> None:
    # Each waits for the other: with one worker this would not end in time.
    both = threading.Barrier(2, timeout=20.0)
    done: list[int] = []

    def work(first: int, last: int) -> None:
        if first < 2:
            both.wait()
        done.append(first)

    on_threads(2)(work, 8)
    assert sorted(done) == list(range(8))


def test_the_number_of_threads_changes_no_bit() -> None:
    results = []
    for n_threads in (1, 2, 5):
        out = np.zeros(301)

        def work(first: int, last: int, out: np.ndarray = out) -> None:  # type: ignore[type-arg]
            for i in range(first, last):
                out[i] = np.sin(i) / (i + 0.1)

        on_threads(n_threads)(work, 301)
        results.append(out)
    np.testing.assert_array_equal(results[0], results[1])
    np.testing.assert_array_equal(results[0], results[2])


def test_an_error_in_a_thread_reaches_the_caller_after_all_have_ended() -> None:
    done: list[int] = []

    def work(first: int, last: int) -> None:
        done.append(first)
        if first == 0:
            raise InputError("draw", 0, "another")

    spread = on_threads(2)
    with pytest.raises(InputError, match="draw is 0"):
        spread(work, 100)
    assert len(done) == 8
    spread(lambda first, last: None, 3)  # and the threads go on


@pytest.mark.parametrize("n_threads", [0, -1, 257])
def test_numbers_of_threads_that_cannot_be_are_refused(n_threads: int) -> None:
    with pytest.raises(InputError, match=r"n_threads is .*; allowed: 1 to 256"):
        on_threads(n_threads)


def test_a_system_that_does_not_tell_its_cores_is_asked_otherwise(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: 3)
    assert len(stretches(None, 1000)) == 12
    monkeypatch.setattr(os, "cpu_count", lambda: None)
    assert stretches(None, 10) == [(0, 10)]
