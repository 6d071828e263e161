"""Barriers and landmarks: what is accepted, and what is refused with which words."""

import pytest

from farglide.atlas.barriers import Barrier, Landmark, check_barriers
from farglide.atlas.outline import Outline
from farglide.errors import ContradictionError, InputError

SQUARE = Outline(points=((46.0, 10.0), (46.0, 10.5), (46.3, 10.5), (46.3, 10.0)))


def test_a_barrier_needs_a_name_and_a_known_kind() -> None:
    with pytest.raises(InputError, match="barrier name"):
        Barrier(name=" ", kind="water", outline=SQUARE)
    with pytest.raises(InputError, match="'closed forest'"):
        Barrier(name="Gollan Wood", kind="trees", outline=SQUARE)


def test_two_barriers_of_one_name_are_refused() -> None:
    wood = Barrier(name="Gollan Wood", kind="closed forest", outline=SQUARE)
    check_barriers([wood, Barrier(name="Mere", kind="water", outline=SQUARE)])
    with pytest.raises(ContradictionError, match="two barriers are called 'gollan wood '"):
        check_barriers([wood, Barrier(name="gollan wood ", kind="water", outline=SQUARE)])


def test_landmarks_are_lines_but_a_house_is_a_point() -> None:
    assert Landmark(name="", kind="house", points=((46.0, 370.0 - 180.0),)).points == (
        (46.0, -170.0),
    )
    with pytest.raises(InputError, match="corners of road 'Moor road' is 1"):
        Landmark(name="Moor road", kind="road", points=((46.0, 10.0),))
    with pytest.raises(InputError, match="kind of landmark 'x'"):
        Landmark(name="x", kind="path", points=((46.0, 10.0), (46.1, 10.0)))
    with pytest.raises(InputError, match="swapped"):
        Landmark(name="x", kind="wires", points=((146.0, 10.0), (46.1, 10.0)))


def test_a_house_with_corners_closes() -> None:
    open_ring = ((46.0, 10.0), (46.0, 10.1), (46.1, 10.1))
    with pytest.raises(InputError, match="three or more corners and the first again") as caught:
        Landmark(name="Grange", kind="house", points=open_ring)
    assert (caught.value.name, caught.value.value) == ("corners of house 'Grange'", 3)
    assert len(Landmark(name="", kind="house", points=(*open_ring, open_ring[0])).points) == 4
