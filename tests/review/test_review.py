"""Review: some flights in one go: pooled in the order of their launches, with what was promised."""

import json
from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.outlook.review import Review
from farglide.review.flown import Flown, What
from farglide.review.review import Given, review_of

from ..present.sample_outlook import sample
from .made import Made, advice


@pytest.fixture(scope="module")
def given(
    planned: Ensemble, demo_sounding: Sounding, drawn: Callable[[int], Made]
) -> tuple[Given, ...]:
    """Return three drawn flights, a day apart, the newest first, with the advice of each."""
    found = []
    for seed in (3, 2, 1):
        launch = replace(planned.sortie.launch, t_s=planned.sortie.launch.t_s)
        told = tuple(advice(600.0 * k) for k in range(1, 8))
        flown = replace(drawn(seed).flown, path=f"{seed}.log", advices=(*told, advice(4490.0)))
        sortie = replace(planned.sortie, launch=launch, name=f"flight {seed}")
        found.append(Given(flown=flown, planned=replace(planned, sortie=sortie),
                           sounding=demo_sounding, plan=sample()))  # fmt: skip
    return tuple(found)


@pytest.fixture(scope="module")
def review(given: tuple[Given, ...]) -> Review:
    """Return their review."""
    return review_of(given, ("a note",))


def test_every_flight_is_there_with_its_promises_and_winds(review: Review) -> None:
    assert [one.name for one in review.flights] == ["flight 3", "flight 2", "flight 1"]
    for one in review.flights:
        assert one.ended in ("released", "burst")
        assert len(one.promises) > 10
        assert one.winds[0].where == "the jet"
        assert one.deep_ratio is not None
        assert one.choice is not None
        assert [each.what for each in one.occurred][-1] == one.ended
    assert [one.ended for one in review.flights].count("released") >= 2


def test_numbers_are_pooled_over_all_flights(review: Review, drawn: Callable[[int], Made]) -> None:
    learned = {one.key: one for one in review.learned}
    glide = learned["glider.glide_factor"]
    true = [float(drawn(seed).truth.drawn.glide_factor[0]) for seed in (1, 2, 3)]
    assert glide.n_told == sum(drawn(seed).rehearsed is not None for seed in (1, 2, 3))
    assert min(true) - 0.08 < glide.use < max(true) + 0.08
    whole = [one for one in review.flights if one.ended == "released"]
    assert learned["balloon.burst_diameter_m"].n_at_least == len(whole)
    assert (review.n_followed, review.n_early_bursts) == (3, 0)
    wind = learned["doubt.deep_wind"]
    assert wind.n_told == 3


def test_chances_are_told_by_their_flights(review: Review) -> None:
    assert review.honesty.n_flights == 3
    assert review.honesty.is_few
    assert review.honesty.n == len(review.stated)
    assert {one.flight for one in review.stated} == {0, 1, 2}


def test_the_document_is_json(review: Review) -> None:
    text = json.dumps(review.document(), allow_nan=False)
    assert json.loads(text)["notes"][0] == "a note"


def test_a_mark_that_was_typed_late_has_the_height_of_the_top(given: tuple[Given, ...]) -> None:
    """A minute after the release it is a kilometre lower: that is no height of the release."""
    one = next(one for one in given if one.flown.first(What.RELEASED) is not None)
    marked = one.flown.first(What.RELEASED)
    assert marked is not None
    late = replace(marked, t_s=marked.t_s + 60.0)
    others = tuple(each for each in one.flown.marked if each is not marked)
    found = review_of([replace(one, flown=replace(one.flown, marked=(*others, late)))]).flights[0]
    row = next(each for each in found.occurred if each.what == "released")
    burst = next(each for each in found.promises if each.what == "burst height")
    assert row.amsl_m == burst.came
    assert row.origin.startswith("marked ")
    assert row.origin.endswith(" s later")
    assert row.after_launch_s < late.t_s - found.launch_t_s - 30.0


def test_a_track_has_no_promises_but_tells_of_its_balloon(given: tuple[Given, ...]) -> None:
    track = replace(given[0], plan=None,
                    flown=replace(given[0].flown, is_log=False, marked=(), advices=()))  # fmt: skip
    found = review_of([track])
    one = found.flights[0]
    assert (one.promises, one.winds, one.choice, found.change) == ((), (), None, None)
    assert "A track without a forecast" in " ".join(one.notes)
    assert one.occurred[0].origin == "by the fixes"
    told = {each.key: each.n_told for each in found.learned}
    assert (told["balloon.drag_factor"], told["glider.glide_factor"]) == (1, 0)
    assert found.honesty.brier is None


def test_a_log_without_fixes_is_named(given: tuple[Given, ...]) -> None:
    bare = replace(given[0], flown=Flown(path="", is_log=True, is_finished=False, fixes=()))
    one = review_of([bare]).flights[0]
    assert (one.ended, one.promises[0].came) == ("not seen", None)
    assert "No fix of the glider stands in it" in " ".join(one.notes)
    before = given[0].planned.sortie.launch.t_s - 3600.0
    early = tuple(replace(fix, t_s=before + k) for k, fix in enumerate(given[0].flown.fixes[:9]))
    other = review_of([replace(given[0], flown=replace(bare.flown, fixes=early))])
    assert "look at the time of the launch" in " ".join(other.flights[0].notes)
