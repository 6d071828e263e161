"""What if a link is weaker: radius, chance, and the places that hear it again."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.chances.falls import FREED, TANGLED
from farglide.errors import InputError
from farglide.outlook.links import LinksOutlook
from farglide.outlook.weaker import HeardAgain, WeakerLink
from farglide.plan.planned import Planned
from farglide.plan.weak.regain import posts_of
from farglide.plan.weak.weaker import LOSSES_DB, weaker_links
from farglide.radio.path.space import range_ratio
from farglide.rig.listening import listening_of
from farglide.sim.hear.holds import held_ratio

MINUTE_S = 60.0
CIRCLE, SPIRAL, SPIN = "glider, hands off", "glider in a firm spiral", "glider in a spin"
NEAR = ("Harrowend strip", "Wether Knap", "Stile Gap")


@pytest.fixture(scope="module")
def weaker(asked: tuple[Planned, LinksOutlook]) -> tuple[WeakerLink, ...]:
    return weaker_links(*asked)


def of(weaker: tuple[WeakerLink, ...], link: str, loss_db: float) -> WeakerLink:
    (found,) = (one for one in weaker if (one.link, one.loss_db) == (link, loss_db))
    return found


def again(one: WeakerLink, story: str, place: str) -> HeardAgain:
    (found,) = (row for row in one.heard_again if (row.story, row.place) == (story, place))
    return found


@pytest.mark.parametrize(
    ("story", "place", "from_min", "to_min"),
    [
        # computed by tests/by_hand in free space, radius 28 km: +-2 min
        (SPIRAL, "Brackmoor", 77.0, 93.0),
        (SPIRAL, "Corrand strip", 77.0, 104.0),
        (CIRCLE, "Brackmoor", 78.0, 113.0),
        (CIRCLE, "Corrand strip", 77.0, 126.0),
    ],
)
def test_nine_decibels_down_the_far_fields_hear_the_picture(
    weaker: tuple[WeakerLink, ...], story: str, place: str, from_min: float, to_min: float
) -> None:
    row = again(of(weaker, "picture", 9.0), story, place)
    assert row.at == "field"
    ((begins_s, ends_s),) = row.spans
    assert begins_s / MINUTE_S == pytest.approx(from_min, abs=2.0)
    assert ends_s / MINUTE_S == pytest.approx(to_min, abs=2.0)
    assert row.heard_ratio > 0.5


def test_nine_decibels_down_the_near_stands_never_hear_it(weaker: tuple[WeakerLink, ...]) -> None:
    one = of(weaker, "picture", 9.0)
    for story in (CIRCLE, SPIRAL):
        for place in NEAR:
            row = again(one, story, place)
            assert row.at == "stand"
            assert row.spans == ()
            assert row.set_off_after_launch_s is None
            assert row.contact_after_launch_s is None
            assert row.heard_ratio < 0.5


def test_the_reach_is_what_decibels_leave_of_it(
    asked: tuple[Planned, LinksOutlook], weaker: tuple[WeakerLink, ...]
) -> None:
    assert [one.loss_db for one in weaker if one.link == "picture"] == list(LOSSES_DB)
    assert of(weaker, "picture", 9.0).reach_m / 1e3 == pytest.approx(28.0, abs=0.6)
    # half and a quarter of the range (6.02 and 12.04 dB, ITU-R P.525)
    found = weaker_links(*asked, losses_db=(6.02, 12.04))
    whole_m = asked[1].links[0].reach_m
    assert of(found, "picture", 6.02).reach_m == pytest.approx(whole_m / 2.0, rel=1e-3)
    assert of(found, "picture", 12.04).reach_m == pytest.approx(whole_m / 4.0, rel=1e-3)
    # and not half for 3 dB, as one reads decibels too easily
    assert range_ratio(3.0) == pytest.approx(0.708, abs=1e-3)


def test_no_loss_at_all_gives_the_plan_s_own_odds(asked: tuple[Planned, LinksOutlook]) -> None:
    release, _ = asked
    chances = release.base.chances
    best_s = release.chances.after_launch_s[release.decision.best]
    moment = int(np.argmin(np.abs(chances.after_launch_s - best_s)))
    for one in weaker_links(*asked, losses_db=(0.0,)):
        # links are asked every three minutes, and evenly between
        assert one.chance_ratio == pytest.approx(float(chances.chance_ratio[moment, 0]), abs=0.01)


def test_more_loss_never_helps(weaker: tuple[WeakerLink, ...]) -> None:
    for link in ("picture", "command"):
        some = [of(weaker, link, loss) for loss in LOSSES_DB]
        for less, more in pairwise(some):
            assert more.reach_m < less.reach_m
            assert less.chance_ratio is not None
            assert more.chance_ratio is not None
            assert more.chance_ratio <= less.chance_ratio + 1e-9
            for a, b in zip(less.heard_again, more.heard_again, strict=True):
                assert (a.story, a.place, a.drive_s) == (b.story, b.place, b.drive_s)
                assert b.heard_ratio <= a.heard_ratio + 1e-9
                assert b.in_time_ratio <= b.heard_ratio + 1e-9
                assert _length_s(b) <= _length_s(a) + 1e-6
    # 12 dB off the picture takes most of the way home; the command has 15 dB in hand
    assert (of(weaker, "picture", 12.0).chance_ratio or 0.0) < 0.2
    assert (of(weaker, "command", 6.0).chance_ratio or 0.0) > 0.8


def _length_s(row: HeardAgain) -> float:
    return sum(b - a for a, b in row.spans)


def test_the_phases_of_the_flight_are_the_plan_s_less_the_loss(
    asked: tuple[Planned, LinksOutlook], weaker: tuple[WeakerLink, ...]
) -> None:
    _, found = asked
    one = of(weaker, "picture", 9.0)
    assert found.car is not None
    assert one.stand == found.car.stand
    (stand,) = (s for s in found.links[0].stands if s.name == one.stand)
    by_phase = {phase.phase: phase for phase in one.seen}
    assert list(by_phase) == ["weakest", "release", "end"]
    manned = [p for p in stand.margin_db if p.after_launch_s >= found.car.ready_after_launch_s]
    assert by_phase["weakest"].margin_db == pytest.approx(min(p.p50 for p in manned) - 9.0)
    assert by_phase["release"].after_launch_s == pytest.approx(76.0 * MINUTE_S, abs=30.0)
    # +5.6 dB from the hill at T+76, less 9: no picture
    assert by_phase["release"].grade == 0
    assert all(phase.grade is None for phase in of(weaker, "command", 9.0).seen)


def test_the_car_needs_its_drive_and_a_place_it_stands_on_needs_none(
    asked: tuple[Planned, LinksOutlook], weaker: tuple[WeakerLink, ...]
) -> None:
    release, found = asked
    assert found.car is not None
    sortie = release.case.drawn.sortie
    for row in of(weaker, "picture", 6.0).heard_again:
        ready_s = release.after_launch_s + row.drive_s
        ready_s += sortie.set_up_s if row.drive_s else 0.0
        assert (row.drive_s == 0.0) == (row.place == found.car.stand)
        if row.contact_after_launch_s is not None:
            assert row.contact_after_launch_s >= ready_s
            assert any(a <= row.contact_after_launch_s <= b for a, b in row.spans)
        else:
            assert all(b < ready_s for _, b in row.spans)
        if row.spans:
            takes_s = ready_s - release.after_launch_s
            last_s = row.spans[-1][1]
            assert row.set_off_after_launch_s == pytest.approx(last_s - takes_s)
    # a straight line over the wood is told: there the guess of the road is worth little
    far = again(of(weaker, "picture", 9.0), CIRCLE, "Brackmoor")
    assert far.barriers == ("Gollan Wood",)
    # 18 km by 1.35 at 50 km/h
    assert far.drive_s / MINUTE_S == pytest.approx(28.0, abs=3.0)


def test_the_tangled_fall_begins_with_the_burst(
    asked: tuple[Planned, LinksOutlook], weaker: tuple[WeakerLink, ...]
) -> None:
    release, _ = asked
    burst_s = float(release.case.plain.climbs.burst.after_launch_s[0])
    for place in ("Brackmoor", "Corrand strip"):
        row = again(of(weaker, "picture", 6.0), TANGLED, place)
        assert row.spans[0][0] >= burst_s - 1.0
    stories = {row.story for row in of(weaker, "picture", 6.0).heard_again}
    assert stories == {CIRCLE, SPIRAL, SPIN, TANGLED}


def test_the_freed_balloon_is_told_for_a_position_link_alone(
    asked: tuple[Planned, LinksOutlook],
) -> None:
    release, found = asked
    ensemble, plain = release.case.drawn, release.case.plain
    beacon = replace(ensemble.sortie.links[1], name="beacon", purpose="position")
    sortie = replace(ensemble.sortie, links=(*ensemble.sortie.links, beacon))
    listening = listening_of(sortie, None)
    case = replace(
        release.case,
        drawn=replace(ensemble, sortie=sortie, listening=listening),
        plain=replace(plain, sortie=sortie, listening=listening),
    )
    link = replace(found.links[1], name="beacon", purpose="position")
    more = replace(found, links=(*found.links, link))
    base = replace(release.base, ensemble=replace(release.base.ensemble, listening=listening))
    with_beacon = replace(release, case=case, base=base)
    weak = weaker_links(with_beacon, more, losses_db=(9.0,))
    freed = [row for row in weak[2].heard_again if row.story == FREED]
    assert [row.place for row in freed] == [post.name for post in posts_of(sortie)]
    # it goes on at once, from where it was
    assert all(row.spans[0][0] <= release.after_launch_s + 60.0 for row in freed)
    by_place = {row.place: row.heard_ratio for row in freed}
    assert by_place["Corrand strip"] > 0.95
    # it may come nearer, so it is heard no worse than at the release (64 draws: +-0.05)
    for stand in found.links[1].stands:
        then = min(stand.margin_db, key=lambda p: abs(p.after_launch_s - release.after_launch_s))
        assert by_place[stand.name] >= held_ratio(then.p50 - 9.0, link.spread_db) - 0.05
    for other in weak[:2]:
        assert FREED not in {row.story for row in other.heard_again}
    # a position does not open a field
    assert weak[2].chance_ratio is None


def at_moment(release: Planned, moment: int) -> Planned:
    """Return the flight planned for a release at another moment."""
    assert release.decision is not None
    at_s = moment * release.case.plain.climbs.tracks.step_s
    other = replace(release, decision=replace(release.decision, release_by_s=at_s))
    assert other.moment == moment
    return other


def test_any_moment_and_loss_is_answered(asked: tuple[Planned, LinksOutlook]) -> None:
    release, found = asked
    plain = release.case.plain
    last = int(np.flatnonzero(~np.isnan(plain.climbs.tracks.amsl_m[0]))[-1])
    rng = np.random.default_rng(8)
    for moment in (0, 1, 4, last, *rng.integers(0, last, 12).tolist()):
        loss_db = float(rng.uniform(0.0, 60.0))
        some = at_moment(release, moment)
        for one in weaker_links(some, found, losses_db=(loss_db,)):
            for row in one.heard_again:
                starts_s = some.after_launch_s if row.story != TANGLED else 0.0
                assert all(starts_s <= a <= b for a, b in row.spans)
                assert 0.0 <= row.in_time_ratio <= row.heard_ratio + 1e-9 <= 1.0 + 1e-8
    # at the launch nothing flies yet: only the fall after a burst is told
    (one, _) = weaker_links(at_moment(release, 0), found, losses_db=(9.0,))
    assert {row.story for row in one.heard_again} == {TANGLED}


def test_without_a_release_only_radius_and_margin_are_told(
    asked: tuple[Planned, LinksOutlook],
) -> None:
    release, found = asked
    none = weaker_links(replace(release, decision=None), replace(found, car=None))
    assert {one.chance_ratio for one in none} == {None}
    assert all(one.heard_again == () and one.stand for one in none)
    assert {phase.phase for one in none for phase in one.seen} == {"weakest", "end"}
    case = replace(release.case, drawn=replace(release.case.drawn, listening=None))
    assert weaker_links(replace(release, case=case), found) == ()


@pytest.mark.parametrize("loss_db", [-1.0, 61.0, float("nan"), float("inf")])
def test_a_loss_outside_its_range_is_refused(
    asked: tuple[Planned, LinksOutlook], loss_db: float
) -> None:
    with pytest.raises(InputError, match="less_db") as caught:
        weaker_links(*asked, losses_db=(loss_db,))
    assert "0 to 60 dB" in str(caught.value)
