"""Beside: tables one at a time on a second thread, or ahead of a replay."""

import threading
from collections.abc import Iterator

from farglide.live.ride.beside import Again, Beside
from farglide.live.ride.tables import Made
from farglide.live.ride.task import Task
from farglide.sortie.spec import Launch


def test_one_at_a_time_and_taken_once() -> None:
    go_on = threading.Event()
    asked: list[int] = []

    def slowly(task: Task) -> Made:
        asked.append(task.number)
        go_on.wait(10.0)
        return f"tables {task.number}"

    beside, one = Beside(slowly), _bare(3)
    beside.begin(one)
    assert beside.is_busy
    assert not beside.take()
    go_on.set()
    while not beside.take():
        pass
    assert not beside.is_busy
    assert not beside.take()
    assert beside(one) == "tables 3"
    assert asked == [3]
    assert beside(_bare(4)) == "tables 4"
    assert beside.close()


def test_a_sum_that_hangs_is_waited_for_no_longer_than_told() -> None:
    go_on = threading.Event()

    def hangs(task: Task) -> Made:
        go_on.wait(60.0)
        return f"tables {task.number}"

    beside = Beside(hangs)
    assert beside.close()
    beside = Beside(hangs)
    beside.begin(_bare(3))
    assert not beside.close(0.1)
    go_on.set()
    assert beside.close(10.0)


def test_a_replay_makes_each_once_and_beside() -> None:
    asked: list[tuple[int, str]] = []

    def make(task: Task) -> Made:
        asked.append((task.number, threading.current_thread().name))
        return str(task.number)

    again = Again(make, map(_bare, (2, 4, 5, 7)))
    found = [again(_bare(n)) for n in (1, 1, 2, 2, 5, 7, 6)]
    again.close()
    assert found == ["1", "1", "2", "2", "5", "7", "6"]
    made = sorted(n for n, _ in asked)
    assert made in ([1, 2, 4, 5, 6, 7], [1, 2, 5, 6, 7])  # nobody asks for 4: made or let go
    assert all(name.startswith("again") for _, name in asked)


def test_a_replay_makes_two_at_once() -> None:
    both = threading.Barrier(2, timeout=10.0)

    def make(task: Task) -> Made:
        if task.number < 2:
            both.wait()  # passed by none alone
        return str(task.number)

    again = Again(make, map(_bare, range(4)))
    assert [again(_bare(n)) for n in range(4)] == ["0", "1", "2", "3"]
    again.close()


def test_a_replay_reads_no_farther_ahead_than_it_must() -> None:
    read: list[int] = []

    def tasks() -> Iterator[Task]:
        for number in range(100):
            read.append(number)
            yield _bare(number)

    again = Again(lambda task: str(task.number), tasks())
    assert again(_bare(0)) == "0"
    again.close()
    assert read == [0, 1, 2, 3]


def _bare(number: int) -> Task:
    launch = Launch(name="", lat_deg=0.0, lon_deg=0.0, amsl_m=0.0, t_s=1.8e9, zone="UTC")
    return Task(number=number, launch=launch, refused=(), fixes=(), now_t_s=1.8e9)
