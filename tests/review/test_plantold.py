"""Plan told: release, landing, packs and picture as planned, and which ranges held."""

from dataclasses import replace

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.outlook.review import Promise
from farglide.review.flown import Flown, Marked, What
from farglide.review.landing import Landed
from farglide.review.parted import Parted, parted
from farglide.review.plantold import plan_promises, range_chances
from farglide.review.promised import PLAN, Came, Told, promise

from ..present.sample_outlook import sample, with_links
from .made import Made

HOME = Landed(True, "Harrowend", 8000.0, 7900.0)


@pytest.fixture
def parts(planned: Ensemble, as_told: Made) -> Parted:
    """Return the flight as told in its parts."""
    return parted(as_told.flown, planned.sortie.launch, planned.air.scene)


def rows_of(flown: Flown, parts: Parted, landed: Landed) -> dict[str, Promise]:
    plan = replace(with_links(), launch_t_s=1_800_697_200.0)
    return {one.what: one for one in plan_promises(plan, flown, parts, landed)}


def test_the_release_is_held_against_its_window(as_told: Made, parts: Parted) -> None:
    rows = rows_of(as_told.flown, parts, HOME)
    release = sample().release
    assert release is not None
    told = rows["release, in the window"]
    assert told.told == "plan, window"
    assert told.came == pytest.approx(parts.top_m)
    assert {told.most_low, told.most_high} == {
        release.window.from_amsl_m, release.window.to_amsl_m
    }  # fmt: skip
    carried = replace(parts, ended="still carried")
    assert rows_of(as_told.flown, carried, HOME)["release, in the window"].came is None


def test_arrival_and_landing_are_told_beside_the_plan(as_told: Made, parts: Parted) -> None:
    release = sample().release
    assert release is not None
    rows = rows_of(as_told.flown, parts, HOME)
    over = rows[f"down to 300 m over {release.field}, quickest"]
    assert over.middle == release.over_field_after_launch_s
    assert over.within == "unjudged"
    elsewhere = rows_of(as_told.flown, parts, Landed(True, "Brackmoor", 8000.0, 7900.0))
    assert elsewhere[over.what].came is None


def test_a_pack_lasted_at_least_until_the_last_fix_or_ended(as_told: Made, parts: Parted) -> None:
    pack = sample().packs[0]
    lasted = rows_of(as_told.flown, parts, HOME)[f"end of pack {pack.name}"]
    assert (lasted.came, lasted.at_least) == (8000.0, True)
    dead = Marked(t_s=1_800_697_200.0 + 7800.0, what=What.DEAD)
    flown = replace(as_told.flown, marked=(*as_told.flown.marked, dead))
    ended = rows_of(flown, parts, HOME)[f"end of pack {pack.name}"]
    assert (ended.came, ended.at_least) == (7800.0, False)


def test_the_last_picture_is_held_against_the_height_told(as_told: Made, parts: Parted) -> None:
    last_s = float(parts.freed.t_s[-10])
    mark = Marked(t_s=1_800_697_200.0 + last_s, what=What.LAST)
    flown = replace(as_told.flown, marked=(*as_told.flown.marked, mark))
    rows = rows_of(flown, parts, HOME)
    told = rows["last picture over Harrowend"]
    assert told.came == pytest.approx(float(parts.freed.amsl_m[-10]) - 240.0, abs=15.0)
    assert "last picture over Harrowend" not in rows_of(as_told.flown, parts, HOME)


def test_ranges_that_were_judged_are_chances_that_came_or_not() -> None:
    rows = [promise("time at 5 km", PLAN, "s", Told(10.0, (9.0, 11.0), (7.0, 13.0)), Came(x))
            for x in (10.0, 8.0, 99.0, None)]  # fmt: skip
    rows.append(promise("down", f"{PLAN}, 8 in 10", "s", Told(10.0, None, (7.0, 13.0)), Came(8.0)))
    found = list(range_chances(rows, 2))
    assert [(one.chance_ratio, one.came) for one in found] == [
        (0.5, True), (0.9, True), (0.5, False), (0.9, True), (0.5, False), (0.9, False),
    ]  # fmt: skip
    assert {one.flight for one in found} == {2}
