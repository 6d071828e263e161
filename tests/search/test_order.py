"""The order of looks: most found per minute, ways counted, dusk kept, and theory as the limit."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.earth.geodesy import offset
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.search.cover import cover_named
from farglide.search.detection import best_effort_s, random_pod
from farglide.search.order import (
    DETOUR_RATIO,
    DRIVE_MPS,
    RESERVE_S,
    WALK_MPS,
    Party,
    Stop,
    order_of,
    pod_of,
    stop_of,
    way_to,
)
from farglide.search.pieces import Piece

HERE = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
NEVER = Stop(math.inf, "", False)
PARTY = Party(place=HERE, t_s=0.0)


def piece(
    name: str, poc: float, east_m: float, area_m2: float = 0.2e6, road_m: float = 0.0
) -> Piece:
    at = offset(HERE, east_m, 0.0)
    where = (at.lat_deg, at.lon_deg)
    return Piece(
        name=name, cells=(), cover=cover_named("grass"), area_m2=area_m2, poc=poc, middle=where,
        entry=where, road="", road_m=road_m, hazards=(), owners=(),
    )  # fmt: skip


def test_the_likelier_of_two_equals_comes_first() -> None:
    steps = order_of([piece("A", 0.2, 500.0), piece("B", 0.4, -500.0)], PARTY, NEVER)
    assert [one.name for one in steps[:2]] == ["B", "A"]


def test_the_nearer_of_two_equals_comes_first() -> None:
    steps = order_of([piece("A", 0.3, 3000.0, road_m=9e3), piece("B", 0.3, 200.0)], PARTY, NEVER)
    assert steps[0].name == "B"


def test_the_smaller_of_two_equals_comes_first() -> None:
    steps = order_of([piece("A", 0.3, 500.0, 1e6), piece("B", 0.3, -500.0, 1e5)], PARTY, NEVER)
    assert steps[0].name == "B"


def test_chances_add_up_to_what_was_missed_everywhere() -> None:
    pieces = [piece("A", 0.4, 300.0), piece("B", 0.3, -400.0), piece("C", 0.2, 900.0)]
    steps = order_of(pieces, PARTY, NEVER)
    missed = {one.name: one.poc for one in pieces}
    for one in steps:
        missed[one.name] *= 1.0 - one.pod
    assert steps[-1].found == pytest.approx(0.9 - sum(missed.values()))
    assert [one.found for one in steps] == sorted(one.found for one in steps)
    assert len(steps) > 3  # what was looked at comes again


def test_no_order_finds_more_than_the_best_allocation_without_ways() -> None:
    """Stone, Theory of Optimal Search: the allocation is an upper bound, near without ways."""
    pieces = [piece(name, poc, 0.0) for name, poc in (("A", 0.4), ("B", 0.3), ("C", 0.1))]
    steps = order_of(pieces, PARTY, NEVER)
    seconds = sum(one.look_s for one in steps)
    poc = np.array([one.poc for one in pieces])
    rate = np.full(3, 2 * 60.0 / 0.2e6)
    best = best_effort_s(poc, rate, seconds)
    bound = float((poc * (1.0 - np.exp(-rate * best))).sum())
    assert 0.97 * bound < steps[-1].found <= bound + 1e-9


def test_a_second_person_halves_the_time() -> None:
    one = piece("A", 0.4, 300.0)
    assert pod_of(one, 600.0, 2) == pytest.approx(pod_of(one, 1200.0, 1))
    assert pod_of(one, 1200.0, 1) == pytest.approx(random_pod(1200.0 * 60.0 / 0.2e6))


def test_dusk_is_kept_with_the_way_back() -> None:
    stop = stop_of(PARTY, 7200.0)
    assert (stop.turn_t_s, stop.why, stop.is_late) == (7200.0 - RESERVE_S, "dusk", False)
    steps = order_of([piece("A", 0.4, 300.0, road_m=600.0)], PARTY, stop)
    back_s = 600.0 * DETOUR_RATIO / WALK_MPS
    assert steps
    for one in steps:
        assert one.begin_t_s + one.look_s + back_s <= stop.turn_t_s + 1e-6


def test_the_earlier_end_counts_and_late_is_told() -> None:
    early = replace(PARTY, back_by_t_s=3600.0)
    assert stop_of(early, 7200.0).why == "the time you gave"
    assert stop_of(early, None).turn_t_s == 3600.0 - RESERVE_S
    late = stop_of(PARTY, 1000.0)
    assert late.is_late
    assert order_of([piece("A", 0.4, 300.0)], PARTY, late) == ()
    assert math.isinf(stop_of(PARTY, None).turn_t_s)


def test_nobody_looks_in_water() -> None:
    wet = replace(piece("A", 0.9, 300.0), cover=replace(cover_named("grass"), is_walked=False))
    assert order_of([wet], PARTY, NEVER) == ()
    assert order_of([], PARTY, NEVER) == ()


def test_far_ways_go_by_road() -> None:
    """20 km: 27 km driven at 50 km/h and 675 m walked; 300 m: all on foot."""
    place = (HERE.lat_deg, HERE.lon_deg)
    seconds, walk_m = way_to(piece("A", 0.4, 20_000.0, road_m=500.0), place, 0.0)
    assert walk_m == pytest.approx(675.0)
    assert seconds == pytest.approx(675.0 / WALK_MPS + 27_000.0 / DRIVE_MPS, rel=1e-3)
    seconds, walk_m = way_to(piece("A", 0.4, 300.0, road_m=500.0), place, 0.0)
    assert walk_m == pytest.approx(405.0, rel=1e-3)
    assert seconds == pytest.approx(405.0 / WALK_MPS, rel=1e-3)


def test_an_unknown_road_is_a_guess() -> None:
    _, walk_m = way_to(piece("A", 0.4, 20_000.0, road_m=math.inf), (-46.5, 108.0), 0.0)
    assert walk_m == pytest.approx(1350.0)


def test_refusals() -> None:
    with pytest.raises(InputError, match="t_s of the party is nan"):
        Party(place=HERE, t_s=math.nan)
    with pytest.raises(InputError, match="people who look is 0"):
        Party(place=HERE, t_s=0.0, n_people=0)
