"""Cluster: the tasks of a comparison on the workers of a Dask scheduler, wherever these run."""

from collections.abc import Iterator, Sequence
from importlib import import_module
from itertools import islice
from typing import Any, Final

from farglide.errors import InputError
from farglide.season.executors import Doing
from farglide.season.task import Done, Task, done
from farglide.season.world import World

_AHEAD: Final = 4
"""So many tasks for each core of the workers are handed out ahead: memory stays bounded."""
_RETRIES: Final = 3
"""So often a task whose worker is lost is begun again on another."""
_WAIT_S: Final = 20


def on_cluster(address: str) -> Doing:
    """Return what does the tasks on a cluster; raise `InputError` where no scheduler answers.

    The world is sent to each worker once. Its winds are read there: from a pack on a path that all
    of them see, or out of the memory of the one that asks. Needs the extra `cluster`.
    """

    def doing(world: World, tasks: Sequence[Task]) -> Iterator[tuple[int, Done]]:
        if not tasks:
            return
        with _client(address) as client:
            yield from _all(client, world, tasks)

    return doing


def _dask() -> Any:
    """Return the package: half a second to import, and only a cluster needs it."""
    return import_module("distributed")


def _client(address: str) -> Any:
    try:
        return _dask().Client(address, timeout=_WAIT_S)
    except ImportError:
        remedy = 'Install it with: pip install "farglide[cluster]"'
        raise InputError("--cluster", address, "the extra cluster", remedy) from None
    except (OSError, ValueError) as error:
        remedy = f"It says: {error}. Begin one with: dask scheduler; then dask worker ADDRESS."
        raise InputError("--cluster", address, "the address of a scheduler", remedy) from None


def _all(client: Any, world: World, tasks: Sequence[Task]) -> Iterator[tuple[int, Done]]:
    """Yield what the workers bring back, and hand out as many again."""
    client.wait_for_workers(1, timeout=_WAIT_S)
    sent = client.scatter(world, broadcast=True)
    n_ahead = _AHEAD * max(sum(client.nthreads().values()), 1)
    waiting = iter(enumerate(tasks))
    numbers: dict[Any, int] = {}

    def handed_out(number: int, task: Task) -> Any:
        future = client.submit(done, sent, task, pure=False, retries=_RETRIES)
        numbers[future] = number
        return future

    found = _dask().as_completed([handed_out(*one) for one in islice(waiting, n_ahead)])
    for future in found:
        yield numbers.pop(future), future.result()
        for one in islice(waiting, 1):
            found.add(handed_out(*one))
