"""Warm: the tasks run through every kernel of a plan without a draw flown, each done once."""

import inspect
from pathlib import Path

import numpy as np
import pytest

from farglide.sim import tasks, warm
from farglide.sim.fly import descend, flight, stories

EVERY = warm.tasks_for((warm.PLAN, warm.RIDE))


@pytest.mark.parametrize("task", EVERY, ids=lambda task: task.name)
def test_a_task_runs_without_a_warning(task: tasks.Task) -> None:
    with np.errstate(all="raise"):
        task.compiles()


def test_the_tasks_are_all_of_the_compiling() -> None:
    assert sum(task.share_ratio for task in tasks.TASKS) == pytest.approx(1.0)
    assert len({task.name for task in EVERY}) == len(EVERY)


def test_flights_and_falls_are_warmed_with_the_doors() -> None:
    """What the flight's own test calls cold is called here: fly, descend, pull-out."""
    for task in EVERY:
        task.compiles()
    for kernel in (
        flight._fly_some, descend._descend_some, stories._move_all, tasks._pull_out,
        tasks.begin_glide,
    ):  # fmt: skip
        assert kernel.signatures, kernel  # type: ignore[attr-defined]
    assert "fly(" in inspect.getsource(tasks.whole_flights)


def test_two_that_begin_at_the_ends_do_each_task_once(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    done: list[str] = []
    seen: list[warm.Compiled] = []

    def task(name: str) -> tasks.Task:
        def work() -> None:
            done.append(name)
            seen.append(warm.compiled_by(tmp_path))
            if name == "first one":  # meanwhile another begins at the other end
                warm.compile_from(-1, tmp_path)

        work.__name__ = name.replace(" ", "_")
        return tasks.Task(work, 0.25 if name == "last" else 0.375)

    monkeypatch.setattr(warm, "TASKS", tuple(task(n) for n in ("first one", "middle", "last")))
    assert warm.compiled_by(tmp_path) == warm.Compiled(0.0, ())
    warm.compile_from(0, tmp_path)
    assert done == ["first one", "last", "middle"]
    assert seen == [
        warm.Compiled(0.0, ("first one",)),
        warm.Compiled(0.0, ("first one", "last")),
        warm.Compiled(0.25, ("first one", "middle")),
    ]
    assert warm.compiled_by(tmp_path) == warm.Compiled(1.0, ())


def test_of_a_ride_only_what_a_plan_has_not_is_compiled(tmp_path: Path) -> None:
    names = {task.name for task in warm.tasks_for((warm.RIDE,))}
    assert "particles" in names
    assert not names & {task.name for task in tasks.TASKS}
    (tmp_path / "particles").touch()
    (tmp_path / "particles.done").touch()
    assert 0.3 < warm.compiled_by(tmp_path, (warm.RIDE,)).ratio < 0.7
    assert warm.compiled_by(tmp_path, (warm.PLAN, warm.RIDE)).ratio < 0.1
