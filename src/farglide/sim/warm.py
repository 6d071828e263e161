"""Warm: compiles the kernels of a plan without flying anything, shared out among processes."""

from collections.abc import Sequence
from pathlib import Path
from typing import Final, NamedTuple

from farglide.sim.ridetasks import RIDE_TASKS
from farglide.sim.tasks import TASKS, Task

_DONE: Final = ".done"
PLAN: Final = "plan"
RIDE: Final = "ride"


class Compiled(NamedTuple):
    """How far the compiling is: the share that is done, and the tasks being worked on."""

    ratio: float
    at_work: tuple[str, ...]


def compile_from(end: int, claims: Path, needs: Sequence[str] = (PLAN,)) -> None:
    """Compile task after task from the first (`end` 0) or from the last (-1), claiming each.

    `needs`: what is compiled for, `PLAN` or `RIDE`. A task that another process has claimed, by a
    file of its name in `claims`, is left to it; a second file tells that it is done.
    """
    tasks = tasks_for(needs)
    for task in tasks if end == 0 else tasks[::-1]:
        if _is_mine(claims / task.name):
            task.compiles()
            (claims / f"{task.name}{_DONE}").touch()


def compiled_by(claims: Path, needs: Sequence[str] = (PLAN,)) -> Compiled:
    """Return how far the processes are that claim their tasks in a folder."""
    files, tasks = {file.name for file in claims.iterdir()}, tasks_for(needs)
    done = [task for task in tasks if f"{task.name}{_DONE}" in files]
    at_work = tuple(task.name for task in tasks if task.name in files and task not in done)
    whole = sum(task.share_ratio for task in tasks)
    return Compiled(sum(task.share_ratio for task in done) / whole, at_work)


def tasks_for(needs: Sequence[str]) -> tuple[Task, ...]:
    """Return what is compiled for a plan, for what a ride needs beside it, or for both."""
    each = {PLAN: TASKS, RIDE: RIDE_TASKS}
    return tuple(task for one in needs for task in each[one])


def _is_mine(claim: Path) -> bool:
    try:
        claim.touch(exist_ok=False)
    except FileExistsError:
        return False
    return True
