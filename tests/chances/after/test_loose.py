"""Loose: what is still open once no whole balloon carries the glider, and for how long."""

from dataclasses import replace

import numpy as np
import pytest
from tests.chances.bare import low_of
from tests.track.filter.made import ensemble

from farglide import fall
from farglide.air.sounding import Sounding
from farglide.chances.after.afterwards import (
    IDLE_S,
    TIED_S,
    Loosened,
    idle_states,
    in_circuit,
    states_now,
)
from farglide.chances.after.closing import falls_below_s
from farglide.chances.after.loose import Loose, alone_by, loose
from farglide.chances.case import Case
from farglide.chances.chances import chances_in
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.chances.onward import Seen
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.after import Stage, StoryName, StoryNow
from farglide.sortie.grain import Grain

from .test_afterwards import BURST_S, seen_at, with_area

SPIRAL = (
    StoryNow(story="spiral", chance_ratio=0.5),
    StoryNow(story="falling with remains", chance_ratio=0.1),
    StoryNow(story="gliding", chance_ratio=0.4),
)


@pytest.fixture(scope="module")
def plain(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    return plain_ensemble(low_of(demo_flight.sortie), demo_sounding, Grain(slowing=False))


@pytest.fixture(scope="module")
def drawn(demo_case: Case) -> Ensemble:
    return demo_case.drawn


def left_of(found: Loose, field: int) -> float | None:
    """Return how long a field stays while nobody does anything, as the only story has it."""
    (idle,) = found.idle
    at_s = falls_below_s(idle.t_s, idle.open_ratio[:, field], 0.5)
    return None if at_s is None else at_s - float(idle.t_s[0])


@pytest.mark.parametrize(
    ("area_m2", "home_s", "tansy_s"),
    [(0.12, 116.0, 204.0), (0.2, 146.0, 260.0), (0.3, 180.0, 318.0)],
)
def test_the_seconds_left_count_down_from_a_burst_with_all_tied_on(
    plain: Ensemble,
    area_m2: float,
    home_s: float,
    tansy_s: float,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # Independent, to 15 %: burst at T+78.3 at 27 475 m, 1.57 kg on one drag area at all heights.
    monkeypatch.setattr(fall, "THIN_EXPONENT", 0.0)
    ensemble = with_area(plain, area_m2)
    at = seen_at(ensemble, BURST_S)
    assert at.amsl_m == pytest.approx(27_475.0, rel=0.02)
    loosened = Loosened(Stage.TIED_ON, at, at)
    found = loose(ensemble, loosened, states_now(ensemble, loosened, BURST_S))
    for field, wanted_s in ((0, home_s), (1, tansy_s)):
        left_s = left_of(found, field)
        assert left_s == pytest.approx(wanted_s, rel=0.15)
    left_s = left_of(found, 2)
    assert left_s is None or left_s > 0.85 * 452.0  # Brackmoor: 452 s or more
    # and a minute later the same count has run down by a minute
    later = idle_states(ensemble, loosened, states_now(ensemble, loosened, BURST_S))
    k = TIED_S.index(60.0)
    place = Seen(BURST_S + 60.0, *(float(one[0, k]) for one in later[2:5]))
    again = Loosened(Stage.TIED_ON, at, place)
    left = loose(ensemble, again, states_now(ensemble, again, BURST_S + 60.0))
    left_s = left_of(left, 0)
    assert left_s is not None
    assert left_s + 60.0 == pytest.approx(home_s, rel=0.15)


def test_hands_off_it_circles_down_and_drifts(drawn: Ensemble) -> None:
    at = seen_at(drawn, 4500.0)
    loosened = Loosened(Stage.GLIDING, at, at)
    found = loose(drawn, loosened, states_now(drawn, loosened, 4500.0))
    (idle,) = found.idle
    heights_m = idle.amsl_m
    assert (np.diff(heights_m) < 0.0).all()
    faster = np.interp(heights_m[0], drawn.air.column.middles_amsl_m,
                       drawn.air.column.layers.tas_per_eas)  # fmt: skip
    sink_mps = (heights_m[0] - heights_m[1]) / (idle.t_s[1] - idle.t_s[0])
    assert sink_mps == pytest.approx(1.4 * faster, rel=0.06)  # 1.4 m/s as timed low
    # home opens and shuts: open now, shut once it has sunk into the jet
    assert idle.open_ratio[0, 0] > 0.9 > idle.open_ratio[-1, 0]
    assert np.nanmedian(found.spare_m[:, 0]) > 10_000.0


def test_what_a_link_costs_now_it_costs_later(heard_demo: Ensemble) -> None:
    at = seen_at(heard_demo, 4500.0)
    loosened = Loosened(Stage.GLIDING, at, at)
    now = states_now(heard_demo, loosened, 4500.0)
    found = loose(heard_demo, loosened, now)
    assert found.chances.holding is not None
    deaf = loose(replace(heard_demo, listening=None), loosened, now)
    assert found.idle[0].open_ratio[0] == pytest.approx(found.chances.open_ratio[0])
    at_s = np.searchsorted(deaf.idle[0].t_s, 4500.0 + np.array(IDLE_S))
    own_s = np.searchsorted(found.idle[0].t_s, 4500.0 + np.array(IDLE_S))
    heard = found.idle[0].open_ratio[own_s]
    assert (heard <= deaf.idle[0].open_ratio[at_s] + 1e-12).all()


# --- by which story -------------------------------------------------------------------------------


def stories_of(**weights: float) -> tuple[StoryNow, ...]:
    names: dict[str, StoryName] = {
        "gliding": "gliding", "hands_off": "hands off", "spiral": "spiral",
        "remains": "falling with remains",
    }  # fmt: skip
    return tuple(StoryNow(story=names[one], chance_ratio=p) for one, p in weights.items())


@pytest.mark.parametrize(
    ("stage", "stories", "told"),
    [
        (Stage.GLIDING, (), ("hands off",)),
        (Stage.GLIDING, stories_of(gliding=0.9, hands_off=0.05, spiral=0.05), ("hands off",)),
        (Stage.GLIDING, stories_of(gliding=0.8, spiral=0.2), ("spiral",)),
        (Stage.UNSTEERED, stories_of(spiral=0.5, remains=0.4, hands_off=0.1),
         ("spiral", "falling with remains")),
        (Stage.UNSTEERED, stories_of(hands_off=0.5, spiral=0.3), ("hands off", "spiral")),
        (Stage.DROPPED, stories_of(spiral=0.9), ("hands off",)),
        (Stage.TIED_ON, stories_of(remains=0.6, spiral=0.4), ("falling with remains",)),
    ],
)  # fmt: skip
def test_it_is_let_alone_as_all_likely_stories_have_it(
    stage: Stage, stories: tuple[StoryNow, ...], told: tuple[StoryName, ...]
) -> None:
    assert alone_by(stage, stories) == told


def test_a_story_that_shuts_a_field_does_not_come_and_go_at_its_bound() -> None:
    told = tuple[StoryName, ...]()
    counts = []
    for k in range(60):
        ratio = 0.2 + 0.04 * (-1.0) ** k
        stories = (StoryNow(story="spiral", chance_ratio=ratio),
                   StoryNow(story="hands off", chance_ratio=0.5))  # fmt: skip
        told = alone_by(Stage.GLIDING, stories, told)
        counts.append("spiral" in told)
    assert all(counts)
    less = (StoryNow(story="spiral", chance_ratio=0.149), stories[1])
    assert alone_by(Stage.GLIDING, less, told) == ("hands off",)
    assert alone_by(Stage.GLIDING, (StoryNow(story="spiral", chance_ratio=0.19), stories[1])) == (
        "hands off",
    )


@pytest.mark.parametrize(
    ("minutes", "gentle_s", "firm_s"),
    [(64.0, 683.0, 230.0), (72.0, 1057.0, 387.0), (76.0, 1205.0, 442.0)],
)
def test_in_a_spiral_home_shuts_sooner(minutes: float, gentle_s: float, firm_s: float) -> None:
    # Independent, to 7 %: how long home stays, asked each 30 s from so long after the launch on.
    drawn, t_s = replace(ensemble(), listening=None), minutes * 60.0
    at = seen_at(drawn, t_s)
    loosened = Loosened(Stage.GLIDING, at, at)
    now = states_now(drawn, loosened, t_s)
    for stories, wanted_s in (((), gentle_s), (SPIRAL, firm_s)):
        assert left_of(loose(drawn, loosened, now, stories), 0) == pytest.approx(wanted_s, rel=0.07)


@pytest.mark.parametrize("minutes", [64.0, 68.0, 72.0, 76.0])
@pytest.mark.parametrize("stories", [(), SPIRAL])
def test_no_field_is_told_to_stay_longer_than_it_does(
    drawn: Ensemble, minutes: float, stories: tuple[StoryNow, ...]
) -> None:
    t_s = minutes * 60.0
    at = seen_at(drawn, t_s)
    loosened = Loosened(Stage.GLIDING, at, at)
    now = states_now(drawn, loosened, t_s)
    (idle,) = (found := loose(drawn, loosened, now, stories)).idle
    assert (np.diff(idle.t_s) > 0.0).all()
    goals = in_circuit(drawn.goals, at.amsl_m)
    n_told = 0
    for field in range(len(drawn.sortie.fields)):
        left_s = left_of(found, field)
        if left_s is None:
            continue
        n_told += 1
        waits_s = np.concatenate([[0.0], left_s + np.arange(-1.0, 40.0, 1.0)])
        states = idle_states(drawn, loosened, now, idle.story, np.maximum(waits_s, 0.0))
        ratio = chances_in(drawn, states, goals).timely_ratio[1:, field]
        assert ratio[0] >= 0.5
        assert (ratio < 0.5).any()  # and no more than 40 s too soon
    assert n_told
