"""Warm: the tasks run through every kernel of a plan without a draw flown, each done once."""

import inspect
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from farglide.sim import warm
from farglide.sim.fly import descend, flight


@pytest.mark.parametrize("task", warm.TASKS)
def test_a_task_runs_without_a_warning(task: Callable[[], None]) -> None:
    with np.errstate(all="raise"):
        task()


def test_flights_and_falls_are_warmed_with_the_doors() -> None:
    """What the flight's own test calls cold is called here: fly, descend, pull-out."""
    for task in warm.TASKS:
        task()
    for kernel in (flight._fly_some, descend._descend_some, warm._pull_out, warm.begin_glide):
        assert kernel.signatures, kernel  # type: ignore[attr-defined]
    assert "fly(" in inspect.getsource(warm.whole_flights)


def test_two_that_begin_at_the_ends_do_each_task_once(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    done: list[str] = []

    def task(name: str) -> Callable[[], None]:
        def work() -> None:
            done.append(name)
            if name == "first":  # meanwhile another begins at the other end
                warm.compile_from(-1, tmp_path)

        work.__name__ = name
        return work

    monkeypatch.setattr(warm, "TASKS", tuple(task(name) for name in ("first", "middle", "last")))
    warm.compile_from(0, tmp_path)
    assert done == ["first", "last", "middle"]
