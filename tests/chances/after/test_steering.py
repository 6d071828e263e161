"""Steering: which fields are left, which to steer for, and how much that asks of the crew."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.after.afterwards import Loosened, states_now
from farglide.chances.after.loose import loose
from farglide.chances.after.steering import (
    Along,
    Asks,
    Weights,
    arrival_m,
    fields_after,
    level_after,
    steered_for,
)
from farglide.chances.case import Case
from farglide.outlook.advice import FieldNow, Level
from farglide.outlook.after import BarrierAhead, Stage, StoryNow
from farglide.sortie.spec import Wish

from .test_afterwards import seen_at

WISH = Wish()


def field(name: str, open_ratio: float, shuts_s: float | None = None) -> FieldNow:
    state = "open" if open_ratio >= 0.9 else "doubtful" if open_ratio >= 0.5 else "shut"
    return FieldNow(
        name=name, state=state, chance_ratio=open_ratio, open_ratio=open_ratio,
        until_after_launch_s=None, then=None, shuts_after_launch_s=shuts_s,
    )  # fmt: skip


# --- which to steer for ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("home", "near", "far", "was", "wanted"),
    [
        (0.95, 0.99, 0.99, "", "home"),  # the first open one in the crew's order
        (0.8, 0.99, 0.99, "home", "near"),  # what is open beats what is doubtful, at once
        (0.92, 0.93, 0.2, "near", "near"),  # one advised stays while it is open ...
        (0.97, 0.93, 0.2, "near", "home"),  # ... unless an earlier one is clearly so
        (0.6, 0.65, 0.2, "home", "home"),  # of doubtful ones the first stays ...
        (0.6, 0.75, 0.2, "home", "near"),  # ... while none is much likelier
        (0.05, 0.02, 0.0, "home", ""),  # and none is none
        (0.3, 0.05, 0.2, "", "home"),  # a small chance is a chance
    ],
)
def test_the_field_to_steer_for(
    home: float, near: float, far: float, was: str, wanted: str
) -> None:
    fields = [field("home", home), field("near", near), field("far", far)]
    assert steered_for(fields, WISH, was) == wanted


@pytest.mark.parametrize(
    ("home", "near", "far", "was", "wanted"),
    [
        (0.97, 0.93, 0.2, "home", "near"),  # open, it comes before all others
        (0.97, 0.3, 0.2, "near", "home"),  # shut, it is left
        (0.92, 0.3, 0.93, "far", "far"),  # and what is advised instead does not flicker
        (0.97, 0.3, 0.93, "far", "home"),
        (0.65, 0.6, 0.2, "home", "near"),  # in doubt it stays while none is much likelier ...
        (0.75, 0.6, 0.2, "home", "home"),
        (0.65, 0.6, 0.2, "", "near"),  # ... advised before or not
    ],
)
def test_the_field_that_the_crew_flies_for(
    home: float, near: float, far: float, was: str, wanted: str
) -> None:
    fields = [field("home", home), field("near", near), field("far", far)]
    assert steered_for(fields, WISH, was, bound_for="near") == wanted


def test_without_fields_there_is_none() -> None:
    assert steered_for([], WISH, "home") == ""


def test_near_a_bound_it_does_not_flicker() -> None:
    was, told = "", []
    for k in range(40):
        home = 0.9 + 0.02 * (-1.0) ** k  # open and doubtful in turns
        was = steered_for([field("home", home), field("near", 0.95)], WISH, was)
        told.append(was)
    assert told == ["home"] + ["near"] * 39


# --- how much it asks -----------------------------------------------------------------------------


def barrier(back_s: float | None) -> BarrierAhead:
    return BarrierAhead(
        barrier="wood", kind="closed forest", ahead="home", behind="near", chance_ratio=0.9,
        edge_after_launch_s=2000.0, edge_amsl_m=9000.0, commit_amsl_m=8000.0,
        turn_back_until_after_launch_s=back_s,
    )  # fmt: skip


FAR = Asks(Stage.GLIDING, True, 1000.0, 9000.0, None)


@pytest.mark.parametrize(
    ("asks", "open_ratio", "shuts_s", "wanted"),
    [
        (FAR._replace(stage=Stage.TIED_ON), 0.99, None, Level.NOW),
        (FAR._replace(stage=Stage.DROPPED), 0.99, None, Level.WATCH),
        (FAR._replace(stage=Stage.DROPPED, is_marked=False), 0.99, None, Level.NOW),
        (FAR._replace(stage=Stage.UNSTEERED), 0.99, 2000.0, Level.DECIDE),
        (FAR._replace(stage=Stage.UNSTEERED), 0.99, 1100.0, Level.NOW),
        (FAR._replace(stage=Stage.DOWN), 0.0, None, Level.DECIDE),
        (FAR, 0.99, None, Level.QUIET),
        (FAR, 0.99, 1500.0, Level.WATCH),
        (FAR, 0.99, 1100.0, Level.DECIDE),
        (FAR, 0.99, 1050.0, Level.NOW),
        (FAR, 0.7, None, Level.DECIDE),
        (FAR._replace(agl_m=500.0), 0.99, 1050.0, Level.DECIDE),  # only the landing is left
        (FAR._replace(barrier=barrier(None)), 0.99, None, Level.QUIET),
        (FAR._replace(barrier=barrier(1500.0)), 0.99, None, Level.WATCH),
        (FAR._replace(barrier=barrier(1050.0)), 0.99, None, Level.DECIDE),
    ],
)
def test_the_level(asks: Asks, open_ratio: float, shuts_s: float | None, wanted: Level) -> None:
    assert level_after(asks, [field("home", open_ratio, shuts_s)], "home") is wanted


def test_no_field_asks_for_a_decision() -> None:
    assert level_after(FAR, [field("home", 0.0)], "") is Level.DECIDE


# --- the fields of the demo -----------------------------------------------------------------------


def test_fields_tell_until_when_they_stay(demo_case: Case) -> None:
    drawn, t_s = demo_case.drawn, 74 * 60.0
    at = seen_at(drawn, t_s)
    loosened = Loosened(Stage.GLIDING, at, at)
    found = loose(drawn, loosened, states_now(drawn, loosened, t_s))
    along = Along(np.array([t_s, t_s + 100.0, t_s + 200.0]), np.ones((3, 4)))
    along.open_ratio[:, 2] = (1.0, 0.95, 0.4)
    home, _, brackmoor, _ = fields_after(drawn, found, Weights(0.8), along)
    assert home.state == "open"
    assert home.chance_ratio == pytest.approx(0.8 * home.open_ratio)
    assert home.until_after_launch_s is None
    assert home.shuts_after_launch_s is not None
    assert home.shuts_amsl_m is not None
    assert at.amsl_m > home.shuts_amsl_m > 10_000.0  # home is shut from the jet up to there
    assert home.arrival_agl_m is not None
    assert home.arrival_agl_m.p10 < home.arrival_agl_m.p50 < home.arrival_agl_m.p90
    # 0.95 falls to 0.4: open at the moment before, and no word is given for later
    assert brackmoor.then == "doubtful"
    assert brackmoor.until_after_launch_s == t_s + 100.0
    bare = fields_after(drawn, found, Weights(1.0), None)
    assert all(one.until_after_launch_s is None for one in bare)


def test_the_likely_story_that_shuts_a_field_first_is_the_one_told(demo_case: Case) -> None:
    drawn, t_s = demo_case.drawn, 74 * 60.0
    at = seen_at(drawn, t_s)
    loosened = Loosened(Stage.UNSTEERED, at, at)
    now, by = states_now(drawn, loosened, t_s), {}
    for stories in (("hands off",), ("spiral",), ("hands off", "spiral")):
        weighed = [StoryNow(story=one, chance_ratio=0.4) for one in stories]
        found = loose(drawn, loosened, now, weighed)
        by[stories] = fields_after(drawn, found, Weights(0.2), None)[0]
    gentle, firm, both = by.values()
    assert (gentle.shuts_story, firm.shuts_story, both.shuts_story) == (
        "hands off", "spiral", "spiral"
    )  # fmt: skip
    assert gentle.shuts_after_launch_s is not None
    assert firm.shuts_after_launch_s is not None
    assert firm.shuts_after_launch_s - t_s < 0.5 * (gentle.shuts_after_launch_s - t_s)
    assert both.shuts_after_launch_s == firm.shuts_after_launch_s
    assert both.shuts_amsl_m == firm.shuts_amsl_m


def test_tied_on_a_field_is_worth_what_comes_free(demo_case: Case) -> None:
    drawn, t_s = demo_case.drawn, 74 * 60.0
    at = seen_at(drawn, t_s)
    loosened = Loosened(Stage.TIED_ON, at, at)
    found = loose(drawn, loosened, states_now(drawn, loosened, t_s))
    home = fields_after(drawn, found, Weights(0.0, 0.5), None)[0]
    assert home.chance_ratio == pytest.approx(0.5 * home.open_ratio)
    assert home.then == "doubtful"
    assert home.until_after_launch_s is not None
    assert home.shuts_after_launch_s is not None
    assert t_s < home.until_after_launch_s <= home.shuts_after_launch_s


def test_what_comes_better_on_the_way_is_told_when_it_does(demo_case: Case) -> None:
    drawn, t_s = demo_case.drawn, 40 * 60.0
    at = seen_at(drawn, t_s)
    loosened = Loosened(Stage.GLIDING, at, at)
    found = loose(drawn, loosened, states_now(drawn, loosened, t_s))
    along = Along(np.array([t_s, t_s + 300.0]), np.stack([found.chances.open_ratio[0], np.ones(4)]))
    home = fields_after(drawn, found, Weights(1.0), along)[0]
    assert home.state == "shut"
    assert (home.until_after_launch_s, home.then) == (t_s + 300.0, "open")
    assert home.shuts_after_launch_s == pytest.approx(t_s)


def test_a_draw_that_does_not_arrive_counts_as_the_lowest() -> None:
    assert arrival_m(np.array([np.nan, np.nan, 100.0])) is None
    found = arrival_m(np.array([np.nan, 1000.0, 2000.0, 3000.0]))
    assert found is not None
    assert found.p10 < 1000.0 < found.p50 < 2000.0


def test_a_wish_moves_the_bounds() -> None:
    bold = replace(WISH, open_ratio=0.6, doubtful_ratio=0.3)
    fields = [replace(field("home", 0.7), state="open"), field("near", 0.95)]
    assert steered_for(fields, bold, "") == "home"
