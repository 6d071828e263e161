"""Cluster: the same cells from a scheduler and two workers, also when one of them is lost."""

from collections.abc import Iterator

import pytest
from distributed import Client, LocalCluster

from farglide.earth.state import place_of
from farglide.errors import InputError
from farglide.season.cluster import on_cluster
from farglide.season.executors import here
from farglide.season.flown import Wanted
from farglide.season.places import compared_spots
from farglide.season.task import Task

from .made import GRAIN, world

SORTIE = world().flight.sortie
TASKS = [
    Task(
        wanted=Wanted(SORTIE.launch.t_s + 600.0 * k, place_of(SORTIE.launch), (2.1,)),
        spots=compared_spots(SORTIE, None, None)[:1],
        numbers=(0,),
        grain=GRAIN,
    )
    for k in range(12)
]


@pytest.fixture(scope="module")
def cluster() -> Iterator[LocalCluster]:
    with LocalCluster(
        n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
    ) as made:
        yield made


def test_a_cluster_gives_the_same_to_the_last_bit(cluster: LocalCluster) -> None:
    shared = dict(on_cluster(cluster.scheduler_address)(world(), TASKS))
    assert shared == dict(here()(world(), TASKS))
    assert dict(on_cluster(cluster.scheduler_address)(world(), [])) == {}


def test_a_lost_worker_loses_no_task(cluster: LocalCluster) -> None:
    found = {}
    for n, (number, done) in enumerate(on_cluster(cluster.scheduler_address)(world(), TASKS)):
        found[number] = done
        if n == 1:
            with Client(cluster.scheduler_address) as client:
                first = sorted(client.scheduler_info()["workers"])[0]
                client.retire_workers([first], close_workers=True)
    assert found == dict(here()(world(), TASKS))


def test_where_no_scheduler_answers_the_address_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("farglide.season.cluster._WAIT_S", 1)
    with pytest.raises(InputError, match="the address of a scheduler"):
        list(on_cluster("tcp://127.0.0.1:9")(world(), TASKS[:1]))
    with pytest.raises(InputError, match="the address of a scheduler"):
        list(on_cluster("nowhere://x")(world(), TASKS[:1]))
