"""Warm: compiles the kernels of a plan without flying anything, shared out among processes."""

from pathlib import Path
from typing import Final, NamedTuple

from farglide.sim.tasks import TASKS

_DONE: Final = ".done"


class Compiled(NamedTuple):
    """How far the compiling is: the share that is done, and the tasks being worked on."""

    ratio: float
    at_work: tuple[str, ...]


def compile_from(end: int, claims: Path) -> None:
    """Compile task after task from the first (`end` 0) or from the last (-1), claiming each.

    A task that another process has claimed, by a file of its name in `claims`, is left to it; a
    second file tells that it is done.
    """
    for task in TASKS if end == 0 else TASKS[::-1]:
        if _is_mine(claims / task.name):
            task.compiles()
            (claims / f"{task.name}{_DONE}").touch()


def compiled_by(claims: Path) -> Compiled:
    """Return how far the processes are that claim their tasks in a folder."""
    files = {file.name for file in claims.iterdir()}
    done = [task for task in TASKS if f"{task.name}{_DONE}" in files]
    at_work = tuple(task.name for task in TASKS if task.name in files and task not in done)
    return Compiled(sum(task.share_ratio for task in done), at_work)


def _is_mine(claim: Path) -> bool:
    try:
        claim.touch(exist_ok=False)
    except FileExistsError:
        return False
    return True
