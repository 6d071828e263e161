"""Silence: Bayes' rule by hand, once for each spell, beside a link that is dead."""

import math
from typing import Any

import numpy as np
import pytest
from tests.track.filter.made import laws, of

from farglide.errors import InputError
from farglide.track.filter import silence
from farglide.track.filter.observed import Graded, LinkHeard, LinkSilent
from farglide.track.filter.particles import Particles, Story, dead_ratios
from farglide.track.filter.silence import (
    DEAD_RATIO,
    LIFE_S,
    SPELL_S,
    WRONG_RATIO,
    after_grade,
    after_link,
    with_age,
)

NEAR, FAR = 0, 1


@pytest.fixture
def two(monkeypatch: pytest.MonkeyPatch) -> Particles:
    """Return one particle where a link is heard for sure, and one where it is not."""

    def margins(*_: Any) -> tuple[Any, float]:
        return np.array([100.0, -100.0]), 5.0

    monkeypatch.setattr(silence, "_margin_db", margins)
    return of(laws(), Story.GLIDING, n=2)


def later(particles: Particles, seconds: float) -> Particles:
    return particles._replace(after_launch_s=particles.after_launch_s + seconds)


def test_silence_makes_a_place_unlikely_from_which_it_should_be_heard(two: Particles) -> None:
    # P(silent | near) = dead + (1 - dead) x wrong, P(silent | far) = dead + (1 - dead)(1 - wrong)
    found = after_link(laws(), two, LinkSilent(link=0, stand=0))
    near = DEAD_RATIO + (1.0 - DEAD_RATIO) * WRONG_RATIO
    far = DEAD_RATIO + (1.0 - DEAD_RATIO) * (1.0 - WRONG_RATIO)
    assert found.weight[NEAR] == pytest.approx(near / (near + far))
    # and where it should be heard, the link is likely dead: 0.02 / 0.0396
    assert found.links.dead_ratio[NEAR, 0] == pytest.approx(DEAD_RATIO / near)
    assert found.links.dead_ratio[FAR, 0] == pytest.approx(DEAD_RATIO / far)
    assert found.links.dead_ratio[:, 1] == pytest.approx(DEAD_RATIO)
    weighted = (near * DEAD_RATIO / near + far * DEAD_RATIO / far) / (near + far)
    assert dead_ratios(found)[0] == pytest.approx(weighted)


def test_silence_counts_once_for_a_spell(two: Particles) -> None:
    silent = LinkSilent(link=0, stand=0)
    once = after_link(laws(), two, silent)
    often = once
    for _ in range(50):
        often = after_link(laws(), later(often, (SPELL_S - 1.0) / 50.0), silent)
    assert np.array_equal(often.weight, once.weight)
    twice = after_link(laws(), later(often, 1.5), silent)
    assert twice.weight[NEAR] < 0.7 * once.weight[NEAR]


def test_silence_never_kills_a_place(two: Particles) -> None:
    # In the end the link is dead if it is near: as likely as a dead link was, beside being far.
    found = two
    for _ in range(500):
        found = after_link(laws(), later(found, SPELL_S), LinkSilent(link=0, stand=0))
    # far, silence also tells of a link dead, as it is silent anyway: 0.98^n of a living one dies
    assert found.weight[NEAR] > 0.5 * DEAD_RATIO
    assert found.links.dead_ratio[NEAR, 0] == pytest.approx(1.0)


def test_what_is_heard_lives(two: Particles) -> None:
    silent = after_link(laws(), two, LinkSilent(link=0, stand=0))
    found = after_link(laws(), later(silent, SPELL_S), LinkHeard(link=0, stand=0))
    assert found.links.dead_ratio[:, 0] == pytest.approx(0.0)
    near = silent.weight[NEAR] * (1.0 - silent.links.dead_ratio[NEAR, 0]) * (1.0 - WRONG_RATIO)
    far = silent.weight[FAR] * (1.0 - silent.links.dead_ratio[FAR, 0]) * WRONG_RATIO
    assert found.weight[NEAR] == pytest.approx(near / (near + far))
    again = after_link(laws(), found, LinkHeard(link=0, stand=0))
    assert np.array_equal(again.weight, found.weight)


def test_links_die_by_age() -> None:
    particles = with_age(of(laws(), Story.GLIDING), LIFE_S)
    wanted = 1.0 - (1.0 - DEAD_RATIO) * math.exp(-1.0)
    assert particles.links.dead_ratio == pytest.approx(wanted)


@pytest.mark.parametrize(("grade", "likely"), [(5, NEAR), (0, FAR)])
def test_a_grade_tells_how_strong_the_link_is(two: Particles, grade: int, likely: int) -> None:
    found = after_grade(laws(), two, Graded(grade=grade, stand=0))
    assert found.weight[likely] > 0.9


def test_a_middling_grade_tells_the_distance(monkeypatch: pytest.MonkeyPatch) -> None:
    # Analogue: grade 3 stands for -0.03 to 6.6 dB over the threshold, see radio.picture
    margins = np.array([-20.0, 3.0, 30.0])
    monkeypatch.setattr(silence, "_margin_db", lambda *_: (margins, 2.0))
    hearing = laws().hearing
    assert hearing is not None
    given = laws()._replace(hearing=hearing._replace(is_digital=False, picture=0))
    found = after_grade(given, of(laws(), Story.GLIDING, n=3), Graded(grade=3, stand=0))
    assert found.weight[1] > 0.95


def test_the_margins_are_those_of_the_plan() -> None:
    hearing = laws().hearing
    assert hearing is not None
    particles = of(laws(), Story.GLIDING)
    margin, fades = silence._margin_db(laws(), particles, 0, 0)
    steady = (
        margin
        - np.sqrt(silence.STEADY_RATIO)
        * hearing.listeners.waves.sd_db[0]
        * (particles.links.budget_normal[:, 0])
    )
    assert np.ptp(steady) < 0.1  # all are at one place
    assert fades**2 == pytest.approx(0.5 * hearing.listeners.waves.sd_db[0] ** 2)


def test_without_links_nothing_is_heard() -> None:
    deaf = laws()._replace(hearing=None)
    particles = of(deaf, Story.GLIDING)
    assert after_grade(deaf, particles, Graded(grade=3, stand=0)) is particles
    with pytest.raises(InputError, match=r"No link is stated: nothing can be heard\."):
        after_link(deaf, particles, LinkHeard(link=0, stand=0))
    assert with_age(particles, 60.0) is particles
