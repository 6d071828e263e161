"""Saying: one flight says what it can of each number of the file, in one go."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.review.flown import Flown, Marked, What
from farglide.review.said import ASCENT, Case, Said
from farglide.review.saying import said_of
from farglide.sortie.known import Known

from .made import Made, case_of


def by_key(case: Case) -> dict[str, Said]:
    return {one.key: one for one in said_of(case)}


@pytest.fixture
def case(planned: Ensemble, demo_sounding: Sounding, as_told: Made) -> Case:
    """Return the flight as told."""
    return case_of(planned, demo_sounding, as_told.flown)


def test_a_flight_as_told_says_what_was_thought(case: Case) -> None:
    found = by_key(case)
    assert list(found) == [
        "balloon.drag_factor", "balloon.burst_diameter_m", "glider.glide_factor",
        "glider.hands_off_sink_eas_mps", "links[picture].offset_db", "links[command].offset_db",
        "crew.reaction_s", "packs[all].cold_ratio", "doubt.deep_wind",
    ]  # fmt: skip
    drag, glide = found["balloon.drag_factor"], found["glider.glide_factor"]
    assert drag.shown is not None
    assert glide.shown is not None
    assert drag.shown.value == pytest.approx(1.0, abs=0.03)
    assert glide.shown.value == pytest.approx(1.0, abs=0.05)
    assert drag.spread_key == ASCENT
    assert drag.belief.sd == pytest.approx(0.1)
    reaction = found["crew.reaction_s"].shown
    assert reaction is not None
    assert (reaction.value, reaction.at_least) == (8.0, True)
    for key in ("glider.hands_off_sink_eas_mps", "links[picture].offset_db", "doubt.deep_wind"):
        assert found[key].shown is None
        assert found[key].why.endswith(": kept")


def test_a_leak_tells_of_neither_drag_nor_burst(case: Case) -> None:
    leaking = case._replace(flight=replace(case.flight, ended="topped"))
    found = by_key(leaking)
    for key in ("balloon.drag_factor", "balloon.burst_diameter_m"):
        assert found[key].shown is None
        assert "lost gas" in found[key].why


def test_left_to_itself_it_sinks_as_the_file_has_it(
    planned: Ensemble, demo_sounding: Sounding, as_told: Made
) -> None:
    """From the end of the packs on; before that it was steered."""
    launch_t_s, rehearsed = planned.sortie.launch.t_s, as_told.rehearsed
    assert rehearsed is not None
    mark = Marked(t_s=launch_t_s + 6000.0, what=What.DEAD)
    flown = replace(as_told.flown, marked=(*as_told.flown.marked, mark))
    found = by_key(case_of(planned, demo_sounding, flown))
    sink = found["glider.hands_off_sink_eas_mps"].shown
    assert sink is not None
    assert sink.value > 1.0
    assert found["packs[all].cold_ratio"].shown is not None


def test_a_glide_that_is_flown_at_a_share_counts_by_that_share(
    planned: Ensemble, demo_sounding: Sounding, as_told: Made
) -> None:
    glider = replace(planned.sortie.glider, flown_ratio=0.8)
    by_hand = replace(planned, sortie=replace(planned.sortie, glider=glider))
    shown = by_key(case_of(by_hand, demo_sounding, as_told.flown))["glider.glide_factor"].shown
    assert shown is not None
    assert shown.value == pytest.approx(1.0 / 0.8, abs=0.07)


def test_without_fixes_all_is_kept(planned: Ensemble, demo_sounding: Sounding) -> None:
    none = Flown(path="", is_log=True, is_finished=True, fixes=())
    found = by_key(case_of(planned, demo_sounding, none))
    assert all(one.shown is None for one in found.values())
    assert all(one.why for one in found.values())


def test_gear_without_a_number_says_nothing_of_it(case: Case) -> None:
    planned = case.planned
    bare = replace(
        planned.sortie,
        glider=replace(planned.sortie.glider, hands_off_sink_eas_mps=None),
        packs=(),
        links=(),
        doubt=replace(planned.sortie.doubt, ascent_ratio=None),
        drop=replace(planned.sortie.drop, reaction_s=Known(value=9.0)),
    )
    other = case._replace(planned=replace(planned, sortie=bare, listening=None))
    found = by_key(other)
    assert "glider.hands_off_sink_eas_mps" not in found
    assert not [key for key in found if key.startswith(("links", "packs"))]
    assert found["balloon.drag_factor"].spread_key == "balloon.drag_factor_spread_ratio"
    assert np.isclose(found["balloon.drag_factor"].belief.sd, bare.balloon.drag_factor.sd)
