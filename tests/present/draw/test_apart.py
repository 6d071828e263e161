"""Places that keep their distance and their order."""

from itertools import pairwise

from farglide.present.draw.apart import spread, stacked


def test_places_keep_their_order_their_distance_and_their_room() -> None:
    for wanted in ([5.0, 5.0, 5.0], [0.0, 40.0, 41.0, 42.0, 90.0], [99.0, 99.5], [7.0]):
        found = spread(wanted, 12.0, 0.0, 100.0)
        assert found == sorted(found)
        assert all(b - a >= 12.0 - 1e-9 for a, b in pairwise(found))
        assert found[0] >= 0.0
        assert found[-1] <= 100.0
    assert spread([1.0, 50.0], 12.0, 0.0, 100.0) == [1.0, 50.0]  # what has room is not moved
    assert spread([], 12.0, 0.0, 100.0) == []


def test_places_without_room_stand_evenly() -> None:
    assert spread([1.0, 2.0, 3.0], 12.0, 0.0, 10.0) == [0.0, 5.0, 10.0]


def test_things_of_many_sizes_are_stacked_without_touching() -> None:
    wanted, sizes = [10.0, 12.0, 80.0, 81.0], [16.0, 32.0, 16.0, 16.0]
    found = stacked(wanted, sizes, 0.0, 100.0)
    for (a, size), (b, other) in pairwise(zip(found, sizes, strict=True)):
        assert b - a >= (size + other) / 2.0 - 1e-9
    assert found[0] >= sizes[0] / 2.0
    assert found[-1] <= 100.0 - sizes[-1] / 2.0
    assert stacked([], [], 0.0, 10.0) == []
