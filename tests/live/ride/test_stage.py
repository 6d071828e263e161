"""Stage: what a flight is at, by marks and by how it sinks."""

from dataclasses import replace

import pytest

from farglide.live.ride.stage import (
    LEVEL_S,
    carried_last,
    heard_t_s,
    is_level,
    is_sent,
    left_by,
    loosed_by,
    marked_t_s,
    packs_empty,
    picture_lost,
    sink_mps,
    stage_of,
)
from farglide.live.ride.state import Loosed, Ride
from farglide.live.ride.task import Entered
from farglide.outlook.after import Stage
from farglide.sortie.spec import Launch
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, Grade, Mark, MarkKind, Overlay, Seen, Sighting

LAUNCH = Launch(name="Strip", lat_deg=-46.5, lon_deg=108.0, amsl_m=240.0, t_s=1000.0, zone="UTC")


def fix(t_s: float, height_m: float) -> Fix:
    return Fix(feed="tracker", lat_deg=-46.5, lon_deg=108.0, t_s=1000.0 + t_s, height_m=height_m)


def ride(heights: dict[float, float], *marks: tuple[float, MarkKind]) -> Ride:
    """Return a ride by its heights at times after the launch, and its marks."""
    kept = tuple(fix(t_s, height_m) for t_s, height_m in heights.items())
    told = ((0.0, MarkKind.LAUNCHED), *marks)
    entries = tuple(
        Entered(number=k, t_s=1000.0 + t_s, entry=Mark(kind=kind))
        for k, (t_s, kind) in enumerate(told)
    )
    found = Ride(entries=entries)
    for k in range(len(kept)):
        found = replace(found, kept=kept[: k + 1], newest=kept[k])
        found = replace(found, loosed=loosed_by(found, LAUNCH))
    return found


def told(heights: dict[float, float], *marks: tuple[float, MarkKind]) -> Ride:
    """Return the same, each mark typed between its fixes, as on the day."""
    entries = ride({}, *marks).entries
    found = Ride()
    for seen in ride(heights).kept:
        typed = tuple(one for one in entries if one.t_s <= (seen.t_s or 0.0))
        found = replace(found, kept=(*found.kept, seen), newest=seen, entries=typed)
        found = replace(found, loosed=loosed_by(found, LAUNCH))
    return replace(found, entries=entries)


UP = {float(t): 5.0 * t for t in range(3600, 4001, 10)}
TOP_S, TOP_M = 4000.0, 20_000.0
DROP = {**UP, 4005.0: 19_900.0, 4010.0: 19_560.0, 4020.0: 18_900.0}
GLIDE = {**DROP, **{4030.0 + 10.0 * k: 18_700.0 - 80.0 * k for k in range(30)}}


def at(one: Ride, after_s: float) -> Stage:
    return stage_of(one, LAUNCH, 1000.0 + after_s).stage


def test_what_climbs_is_carried() -> None:
    assert at(ride(UP), TOP_S) is Stage.CARRIED
    assert sink_mps(ride(UP)) == pytest.approx(-5.0)


def test_a_release_that_was_marked_late_began_when_it_fell() -> None:
    found = stage_of(ride(DROP, (4020.0, MarkKind.RELEASED)), LAUNCH, 1000.0 + 4022.0)
    assert found.stage is Stage.DROPPED
    assert found.is_marked
    assert found.left == fix(TOP_S, TOP_M)
    assert found.since_t_s == 1000.0 + TOP_S


@pytest.mark.parametrize("late_s", [70.0, 130.0, 240.0])
@pytest.mark.parametrize("kind", [MarkKind.RELEASED, MarkKind.BURST])
def test_however_late_it_was_marked_it_began_when_it_fell(kind: MarkKind, late_s: float) -> None:
    marked_s = TOP_S + late_s
    found = stage_of(ride(GLIDE, (marked_s, kind)), LAUNCH, 1000.0 + marked_s + 2.0)
    assert found.stage is (Stage.GLIDING if kind is MarkKind.RELEASED else Stage.TIED_ON)
    assert (found.left, found.since_t_s) == (fix(TOP_S, TOP_M), 1000.0 + TOP_S)


def test_a_glide_that_climbs_once_still_began_when_it_fell() -> None:
    zoom = {**GLIDE, **{4330.0 + 10.0 * k: 16_400.0 + 40.0 * k for k in range(8)}}
    assert ride(zoom).loosed is None  # nobody has said what it is
    found = stage_of(told(zoom, (4200.0, MarkKind.RELEASED)), LAUNCH, 1000.0 + 4402.0)
    assert (found.stage, found.left) == (Stage.GLIDING, fix(TOP_S, TOP_M))


def test_a_mark_after_a_silence_begins_at_the_fall_that_was_heard() -> None:
    one = ride(DROP, (4400.0, MarkKind.RELEASED))
    assert carried_last(one, 1000.0 + 4400.0) == fix(TOP_S, TOP_M)
    assert carried_last(replace(one, loosed=None), 1000.0 + 4400.0) is None
    early = carried_last(one, 1000.0 + 3990.0)  # a mark before the fall
    assert early == fix(3990.0, 19_950.0)


def test_a_release_is_sent_until_it_is_told_stuck() -> None:
    assert not is_sent(ride(UP))
    sent = (3990.0, MarkKind.SENT)
    assert is_sent(ride(UP, sent))
    assert not is_sent(ride(UP, sent, (3995.0, MarkKind.STUCK)))
    assert is_sent(ride(UP, sent, (3995.0, MarkKind.STUCK), (3998.0, MarkKind.SENT)))


def test_after_half_a_minute_it_glides() -> None:
    one = ride(GLIDE, (4010.0, MarkKind.RELEASED))
    assert at(one, TOP_S + LEVEL_S - 1.0) is Stage.DROPPED
    assert at(one, TOP_S + LEVEL_S + 1.0) is Stage.GLIDING
    assert is_level(one, LAUNCH, 1000.0 + 4100.0)


def test_nobody_steers_without_a_picture_or_a_fix() -> None:
    lost, back = (4200.0, MarkKind.LOST), (4250.0, MarkKind.BACK)
    for marks in ([(4010.0, MarkKind.RELEASED)], []):  # let go as marked, or as its fall tells
        one = ride(GLIDE, *marks, lost)
        assert at(one, 4310.0) is Stage.UNSTEERED
        assert at(one, 4021.0) is Stage.DROPPED
        assert picture_lost(one)
        again = ride(GLIDE, *marks, lost, back)
        assert at(again, 4310.0) is Stage.GLIDING
        assert not picture_lost(again)
        assert at(again, 4439.0) is Stage.GLIDING
        assert at(again, 4600.0) is Stage.UNSTEERED  # nothing heard for five minutes


def test_on_empty_packs_nobody_steers_however_it_came_loose() -> None:
    dead = (4200.0, MarkKind.DEAD)
    for marks in ([(4010.0, MarkKind.RELEASED)], []):
        one = ride(GLIDE, *marks, dead)
        assert at(one, 4310.0) is Stage.UNSTEERED
        assert packs_empty(one)
        assert not packs_empty(one, 1000.0 + 4199.0)
        back = ride(GLIDE, *marks, dead, (4210.0, MarkKind.LOST), (4250.0, MarkKind.BACK))
        assert at(back, 4310.0) is Stage.GLIDING
    before = ride(UP, (3700.0, MarkKind.DEAD))
    assert at(before, TOP_S) is Stage.CARRIED


def test_a_burst_ties_on_and_a_release_after_it_frees() -> None:
    one = ride(DROP, (4012.0, MarkKind.BURST))
    found = stage_of(one, LAUNCH, 1000.0 + 4025.0)
    assert (found.stage, found.left) == (Stage.TIED_ON, fix(TOP_S, TOP_M))
    freed = ride(DROP, (4012.0, MarkKind.BURST), (4020.0, MarkKind.RELEASED))
    found = stage_of(freed, LAUNCH, 1000.0 + 4025.0)
    assert (found.stage, found.left) == (Stage.DROPPED, fix(4020.0, 18_900.0))


@pytest.mark.parametrize("kind", [MarkKind.RELEASED, MarkKind.BURST])
def test_a_mark_that_it_climbs_on_from_is_not_believed(kind: MarkKind) -> None:
    one = ride(UP, (3950.0, kind))
    found = stage_of(one, LAUNCH, 1000.0 + TOP_S)
    assert (found.stage, found.is_marked) == (Stage.CARRIED, False)


def test_what_plainly_sinks_without_a_mark_came_loose() -> None:
    assert ride(UP).loosed is None
    assert ride(DROP).loosed == Loosed(left=fix(TOP_S, TOP_M))
    assert at(ride(DROP), 4021.0) is Stage.DROPPED
    found = stage_of(ride(GLIDE), LAUNCH, 1000.0 + 4325.0)
    assert (found.stage, found.is_marked) == (Stage.GLIDING, False)
    assert found.left == fix(TOP_S, TOP_M)


def test_what_leaks_sinks_slower_than_what_falls() -> None:
    sinking = {**UP, **{4000.0 + 10.0 * k: TOP_M - 25.0 * k for k in range(1, 30)}}
    assert ride(sinking).loosed is None
    assert at(ride(sinking), 4290.0) is Stage.CARRIED


def test_a_dip_that_climbs_on_was_none() -> None:
    dip = {**UP, 4010.0: 19_850.0, 4014.0: 19_700.0}
    again = {**dip, **{4014.0 + 5.0 * k: 19_700.0 + 40.0 * k for k in range(1, 12)}}
    assert ride(dip).loosed is not None
    assert ride(again).loosed is None


def test_a_gap_low_down_is_no_fall() -> None:
    assert ride({0.0: 240.0, 30.0: 420.0, 40.0: 250.0}).loosed is None


def test_marks_and_fixes_that_are_not_there() -> None:
    bare = Ride()
    assert marked_t_s(bare, MarkKind.BURST) is None
    assert sink_mps(bare) is None
    assert left_by((), 5.0) is None
    assert loosed_by(bare, LAUNCH) is None
    marked = ride({}, (10.0, MarkKind.RELEASED))
    found = stage_of(marked, LAUNCH, 1000.0 + 50.0)
    assert (found.stage, found.left) == (Stage.GLIDING, None)  # somebody saw it go
    assert at(marked, 200.0) is Stage.UNSTEERED


@pytest.mark.parametrize(
    "entry", [Grade(grade=3), Overlay(amsl_m=19e3), Sighting(what=Seen.SUN, clock_h=11.0)]
)
def test_whoever_sees_the_picture_may_steer(entry: Entry) -> None:
    one = ride({}, (10.0, MarkKind.RELEASED))
    seen = replace(one, entries=(*one.entries, Entered(number=9, t_s=1300.0, entry=entry)))
    assert at(one, 400.0) is Stage.UNSTEERED
    assert at(seen, 400.0) is Stage.GLIDING
    assert at(seen, 450.0) is Stage.UNSTEERED
    assert heard_t_s(seen) == 1300.0
    none = Entered(number=10, t_s=1350.0, entry=Grade(grade=0))
    assert heard_t_s(replace(seen, entries=(*seen.entries, none))) == 1300.0
    place = replace(fix(360.0, 0.0), height_m=None)
    assert heard_t_s(replace(seen, points=(place,))) == 1360.0


def test_where_it_was_let_go_no_old_fix_tells() -> None:
    assert left_by(ride(UP).fixes(), 1000.0 + TOP_S + 119.0) == fix(TOP_S, TOP_M)
    assert left_by(ride(UP).fixes(), 1000.0 + TOP_S + 121.0) is None


def test_down_is_down() -> None:
    one = ride(GLIDE, (4010.0, MarkKind.RELEASED), (4300.0, MarkKind.LANDED))
    assert at(one, 4310.0) is Stage.DOWN
