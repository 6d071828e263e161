"""What the picture should be, phase by phase, and what a worse grade leaves missing."""

from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.decision import decide
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.trial import coarse_trial
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.links import (
    CarOutlook,
    HeardLink,
    HeardPoint,
    HeardStand,
    LinksOutlook,
)
from farglide.outlook.weaker import BlindRelease
from farglide.plan.links.carplan import links_outlook
from farglide.plan.planned import Planned
from farglide.plan.weak.pictures import (
    arrives_ratio,
    blind_release,
    expected_pictures,
    manned_stand,
)
from farglide.radio.picture import grade_of
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain


def point(minutes: float, margin_db: float, elevation_deg: float = 30.0) -> HeardPoint:
    return HeardPoint(
        after_launch_s=60.0 * minutes,
        amsl_m=10_000.0,
        azimuth_deg=120.0,
        elevation_deg=elevation_deg,
        range_m=20e3,
        slew_degps=0.01,
        sun_azimuth_deg=None,
        p10=margin_db - 3.0,
        p50=margin_db,
        p90=margin_db + 3.0,
        grade=grade_of(margin_db, False),
    )


POINTS = (
    point(0.0, -30.0), point(40.0, 9.0), point(42.0, 8.0, 71.0), point(44.0, 7.0, 74.0),
    point(46.0, 6.8, 72.0), point(48.0, 6.7), point(75.0, 5.6), point(95.0, 12.0),
)  # fmt: skip
STAND = HeardStand(name="hill", margin_db=POINTS, silent=(), lost_agl_m=(), overhead=())
CAR = CarOutlook(
    stand="hill",
    lat_deg=46.0,
    lon_deg=10.0,
    east_m=0.0,
    north_m=0.0,
    nose_deg=None,
    holds_ratio=(),
    drive_guessed=False,
    drive_s=2000.0,
    set_up_s=240.0,
    ready_after_launch_s=2400.0,
    set_off_after_launch_s=None,
    lost_agl_m=None,
    moves=(),
    road=(),
)
LINK = HeardLink(
    name="picture",
    purpose="picture",
    eirp_dbm=31.0,
    threshold_dbm=-91.0,
    spread_db=2.0,
    reach_m=80e3,
    half_reach_m=40e3,
    beam_deg=21.0,
    stands=(STAND,),
)
COMMAND = replace(LINK, name="command", purpose="command")
FOUND = LinksOutlook(links=(LINK, COMMAND), held=(), car=CAR, ground="")


def test_phases_begin_when_the_stand_is_manned(demo_flight: FlightFile) -> None:
    (found,) = expected_pictures(demo_flight.sortie, FOUND, 75.0 * 60.0)
    by_phase = {phase.phase: phase for phase in found.phases}
    assert by_phase["weakest"].margin_db == 5.6  # and not -30 at the launch
    assert by_phase["release"].after_launch_s == 4500.0
    assert by_phase["end"].margin_db == 12.0
    for phase in found.phases:
        assert phase.grade == grade_of(phase.margin_db, False)
    assert (found.link, found.stand, found.highest_deg) == ("picture", "hill", 74.0)


def test_a_worse_grade_leaves_so_many_decibels_missing(demo_flight: FlightFile) -> None:
    (found,) = expected_pictures(demo_flight.sortie, FOUND, 75.0 * 60.0)
    released = found.phases[1]
    assert released.grade == 3
    assert [seen.grade for seen in released.worse] == [2, 1, 0]
    # 3 dB of S/N for each below the threshold: grade 2 from -1.53, grade 1 from -2.3 dB
    two, one, none = released.worse
    assert two.least_db == pytest.approx(5.6 + 0.033, abs=0.01)
    assert two.most_db == pytest.approx(5.6 + 1.533, abs=0.01)
    assert one.least_db == pytest.approx(two.most_db)
    assert one.most_db == pytest.approx(none.least_db)
    assert none.most_db is None
    for seen in released.worse:
        middle_db = seen.least_db + 0.1
        assert grade_of(released.margin_db - middle_db, False) == seen.grade


def test_speed_of_change_and_time_overhead(demo_flight: FlightFile) -> None:
    (found,) = expected_pictures(demo_flight.sortie, FOUND, 75.0 * 60.0)
    # one decibel in two minutes; the way home is not counted
    assert found.fastest_dbps == pytest.approx(1.0 / 120.0)
    assert found.overhead == ((42.0 * 60.0, 46.0 * 60.0),)


def test_without_a_release_none_is_spoken_of_and_nobody_hears_the_launch(
    demo_flight: FlightFile,
) -> None:
    near = replace(point(41.0, 40.0), range_m=500.0)  # so near it fades by 31 dB in a minute
    manned = replace(STAND, margin_db=(*POINTS[:2], near, *POINTS[2:]))
    manned = replace(manned, manned_after_launch_s=2400.0)
    found = replace(FOUND, links=(replace(LINK, stands=(manned,)), COMMAND), car=None)
    (told,) = expected_pictures(demo_flight.sortie, found, None)
    assert [phase.phase for phase in told.phases] == ["weakest", "end"]
    assert told.phases[0].margin_db == 5.6  # and not -30 at the launch, 40 min before the car
    assert told.fastest_dbps < 0.01


def test_without_a_car_the_best_stand_is_told_once_it_is_manned() -> None:
    better = replace(STAND, name="ridge", margin_db=tuple(point(m, 15.0) for m in (0.0, 75.0)))
    link = replace(LINK, stands=(STAND, better))
    assert manned_stand(link, replace(FOUND, car=None)) == better
    late = replace(better, manned_after_launch_s=600.0)
    found = manned_stand(replace(LINK, stands=(late,)), replace(FOUND, car=None))
    assert found.margin_db == late.margin_db[1:]
    late = replace(FOUND, car=replace(CAR, ready_after_launch_s=1e6))
    assert manned_stand(LINK, late).margin_db == POINTS[-1:]


def test_without_a_picture_nothing_is_expected(demo_flight: FlightFile) -> None:
    sortie = replace(demo_flight.sortie, links=demo_flight.sortie.links[1:])
    assert expected_pictures(sortie, replace(FOUND, links=(COMMAND,)), 4500.0) == ()
    bare = replace(FOUND, links=(replace(LINK, stands=()), COMMAND))
    assert expected_pictures(demo_flight.sortie, bare, 4500.0) == ()


def _links(release: Planned) -> LinksOutlook:
    return links_outlook(release, release.way_home())


@pytest.fixture(scope="module")
def asked(demo_flight: FlightFile, demo_sounding: Sounding) -> tuple[Planned, LinksOutlook]:
    sortie = demo_flight.sortie
    few = Grain(n_draws=200, prices_mps=(8.0,), slab=5)
    ensemble = replace(
        drawn_ensemble(sortie, demo_sounding, few), listening=listening_of(sortie, None)
    )
    case = with_plain(ensemble)
    chances = chances_of_heights(ensemble)
    decision = decide(ensemble, chances)
    assert decision is not None
    base = coarse_trial(ensemble, decision)
    at_76 = replace(decision, release_by_s=76.0 * 60.0)
    release = Planned(case=case, chances=chances, decision=at_76, base=base)
    return release, _links(release)


@pytest.fixture(scope="module")
def blind(asked: tuple[Planned, LinksOutlook]) -> BlindRelease:
    found = blind_release(*asked)
    assert found is not None
    return found


def test_odds_of_a_command_by_margin_and_doubt() -> None:
    # a normal doubt: 15/8 = 1.875 and 10/8 = 1.25 standard deviations; -5/8 leaves 0.27
    assert arrives_ratio(15.0, 8.0) == pytest.approx(0.97, abs=0.005)
    assert arrives_ratio(10.0, 8.0) == pytest.approx(0.89, abs=0.005)
    assert arrives_ratio(-5.0, 8.0) < 0.3
    assert arrives_ratio(0.0, 8.0) == pytest.approx(0.5)
    assert (arrives_ratio(-0.1, 0.0), arrives_ratio(0.1, 0.0)) == (0.0, 1.0)


def test_the_command_reaches_farther_than_the_picture(blind: BlindRelease) -> None:
    last = blind.steps[-1]
    # +15 dB from the hill at T+76, computed by tests/by_hand
    assert last.margin_db == pytest.approx(15.0, abs=0.8)
    assert last.in_hand_s < 60.0
    # the file's 4 dB, and a little for where the balloon may be instead
    assert 4.0 <= blind.spread_db < 5.0
    assert last.arrives_ratio == pytest.approx(arrives_ratio(last.margin_db, blind.spread_db))


def test_the_steps_lead_up_to_the_release(
    asked: tuple[Planned, LinksOutlook], blind: BlindRelease
) -> None:
    release, found = asked
    assert found.car is not None
    assert release.decision is not None
    times = [step.after_launch_s for step in blind.steps]
    assert times == sorted(times)
    assert len(times) >= 3
    assert times[0] >= found.car.ready_after_launch_s
    assert times[-1] == pytest.approx(release.decision.release_by_s, abs=16.0)
    for step in blind.steps:
        left_s = release.decision.release_by_s - step.after_launch_s
        assert step.in_hand_s == max(left_s, 0.0)


def test_a_weaker_command_is_sent_with_less_hope(asked: tuple[Planned, LinksOutlook]) -> None:
    release, found = asked
    links = []
    for link in found.links:
        stands = [
            replace(
                stand,
                margin_db=tuple(
                    replace(p, p10=p.p10 - 20.0, p50=p.p50 - 20.0) for p in stand.margin_db
                ),
            )
            for stand in link.stands
        ]
        links.append(replace(link, stands=tuple(stands)))
    weak = blind_release(release, replace(found, links=tuple(links)))
    assert weak is not None
    assert weak.steps[-1].margin_db < 0.0
    assert weak.steps[-1].arrives_ratio < 0.3


def test_released_unseen_the_door_stays_open_by_story(
    asked: tuple[Planned, LinksOutlook],
) -> None:
    release, links = asked
    late = replace(release.decision, release_by_s=76.0 * 60.0)
    blind = blind_release(replace(release, decision=late), links)
    assert blind is not None
    names = [name for name, _ in blind.doors]
    assert names == ["glider, hands off", "glider in a firm spiral", "glider in a spin"]
    lives = [life_s for _, life_s in blind.doors]
    assert lives == sorted(lives, reverse=True)
    # 12.3, 4.5 and 2.2 min for T+76 with the packs, computed by tests/by_hand
    assert [life_s / 60.0 for life_s in lives] == pytest.approx([12.3, 4.5, 2.2], rel=0.1)


def test_unsent_the_burst_comes_nearer(
    asked: tuple[Planned, LinksOutlook], blind: BlindRelease
) -> None:
    release, _ = asked
    assert release.decision is not None
    times, shares = zip(*blind.unsent, strict=True)
    assert times[0] == release.decision.release_by_s
    assert list(shares) == sorted(shares)
    assert 0.0 < shares[0] < shares[-1] <= 1.0
    burst = release.case.drawn.climbs.burst_share.mean(axis=0)
    j = round(times[0] / release.case.drawn.climbs.tracks.step_s)
    assert shares[0] == pytest.approx(burst[j], abs=0.02)


def test_without_release_stand_or_command_there_is_nothing_to_send(
    asked: tuple[Planned, LinksOutlook],
) -> None:
    release, found = asked
    assert blind_release(replace(release, decision=None), found) is None
    assert blind_release(release, replace(found, car=None)) is None
    pictures = tuple(link for link in found.links if link.purpose == "picture")
    assert blind_release(release, replace(found, links=pictures)) is None
    assert found.car is not None
    late = replace(found.car, ready_after_launch_s=9e9)
    assert blind_release(release, replace(found, car=late)) is None
