"""Packs: what the cold left by an end that was seen, and by how long it lasted."""

from dataclasses import replace

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.review.flown import Flown, Marked, Typed, What
from farglide.review.packs import drain_of, pack_shown
from farglide.track.typed.entries import Overlay

from .made import been

SEEN = been([0.0, 6000.0], [240.0, 400.0])
BARE = Flown(path="", is_log=True, is_finished=True, fixes=())


def test_an_end_that_was_seen_is_its_share(planned: Ensemble) -> None:
    # 26 Wh at 7 W for (7791 + 180 + 900) s: the share 0.65 from which the plan's end is reckoned
    dead = Marked(t_s=planned.sortie.launch.t_s + 7791.43 + 180.0, what=What.DEAD)
    found = pack_shown(planned.sortie, replace(BARE, marked=(dead,)), SEEN)
    assert found is not None
    assert (found.value, found.at_least) == (pytest.approx(0.663, abs=0.02), False)


def test_one_that_lasted_has_at_least_so_much(planned: Ensemble) -> None:
    found = pack_shown(planned.sortie, BARE, SEEN)
    assert found is not None
    assert found.at_least
    assert found.value == pytest.approx(6900.0 * 7.0 / (3600.0 * 26.0))


def test_nobody_knows_which_of_two_ended(planned: Ensemble) -> None:
    sortie = planned.sortie
    two = replace(sortie, packs=(*sortie.packs, replace(sortie.packs[0], name="spare")))
    assert pack_shown(two, BARE, SEEN) is None
    assert pack_shown(sortie, replace(BARE, is_log=False), SEEN) is None
    assert pack_shown(sortie, BARE, been([], [])) is None


def test_a_typed_voltage_falls_so_much_an_hour(planned: Ensemble) -> None:
    launch_t_s = planned.sortie.launch.t_s
    typed = tuple(Typed(t_s=launch_t_s + t_s, entry=Overlay(volts=12.4 - 0.9 * t_s / 3600.0))
                  for t_s in (0.0, 1800.0, 3600.0, 5400.0))  # fmt: skip
    found = drain_of(planned.sortie, replace(BARE, typed=typed))
    assert found is not None
    assert found.volts_ph == pytest.approx(0.9)
    assert (found.from_v, found.to_v) == (pytest.approx(12.4), pytest.approx(11.05))
    assert drain_of(planned.sortie, replace(BARE, typed=typed[:2])) is None
