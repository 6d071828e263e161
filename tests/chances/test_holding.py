"""Links in the chance of a release: against sampled ways, strong and weak links, manned stands."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.stats import norm

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import Terrain
from farglide.chances.chances import Chances, chances_of_climb
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.holding import Holding, holding
from farglide.chances.trial import moments_of
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.plan.notes import plan_notes
from farglide.rig.listening import drive_s, listening_of, ready_s
from farglide.sim.core.release import Goals, begin_glide
from farglide.sim.core.states import states_of_climbs
from farglide.sim.core.tracks import Point, Trails
from farglide.sim.hear.hearing import margins_db
from farglide.sim.hear.holds import holds
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import LinkSpec

ASKED = Grain(n_draws=60)
HOME, TANSY = 0, 1


@pytest.fixture(scope="module")
def ground(demo_flight: FlightFile) -> Terrain | None:
    return gather_terrain(demo_flight.sortie)


@pytest.fixture(scope="module")
def deaf(demo_flight: FlightFile, demo_sounding: Sounding) -> Ensemble:
    """Return the ensemble of the demo without ears."""
    return drawn_ensemble(demo_flight.sortie, demo_sounding, ASKED)


def hearing(ensemble: Ensemble, ground: Terrain | None, *links: LinkSpec) -> Ensemble:
    """Return the ensemble with these links, or those of the demo."""
    sortie = replace(ensemble.sortie, links=links) if links else ensemble.sortie
    return replace(ensemble, sortie=sortie, listening=listening_of(sortie, ground))


def asked_of(ensemble: Ensemble) -> Chances:
    return chances_of_climb(ensemble, moments_of(ensemble))


def held(ensemble: Ensemble, moments: NDArray[np.int64], goals: Goals) -> Holding | None:
    climbs = ensemble.climbs
    states = states_of_climbs(climbs.tracks, climbs.burst_share, moments)
    return holding(ensemble, states, goals)


def test_odds_are_those_of_the_weakest_point_of_the_way(deaf: Ensemble, ground: Terrain) -> None:
    ensemble = hearing(deaf, ground)
    listening = ensemble.listening
    assert listening is not None
    moments = np.array([40, 120, 150])
    climbs, scene, releases = ensemble.climbs, ensemble.air.scene, ensemble.released
    states = states_of_climbs(climbs.tracks, climbs.burst_share, moments)
    first = type(states)(*(each[:60] for each in states))
    found = holds(scene, releases, first, listening.listeners, ensemble.goals)
    for i, j, f in ((0, 0, 0), (7, 1, 1), (31, 2, 0), (59, 1, 3)):
        track = ensemble.climbs.tracks
        place = (x[i, moments[j]] for x in (track.amsl_m, track.north_rad, track.east_rad))
        _, z, north, east = begin_glide(scene, releases, i, Point(0.0, *place))
        share, goals = np.linspace(0.0, 1.0, 4), ensemble.goals
        way = Trails(
            (z + share * (goals.arrival_amsl_m[f] - z))[None],
            (north + share * (goals.north_rad[f] - north))[None],
            (east + share * (goals.east_rad[f] - east))[None],
        )
        least = margins_db(listening.listeners, scene.frame, way)[0].min(axis=2)
        expected = norm.cdf(least / listening.waves.sd_db)
        assert found[i, j, f] == pytest.approx(expected, abs=2e-4)


def test_links_that_never_fail_change_nothing(deaf: Ensemble, ground: Terrain) -> None:
    loud = [replace(spec, power_w=1500.0) for spec in deaf.sortie.links]
    without, found = asked_of(deaf), asked_of(hearing(deaf, None, *loud))
    assert found.holding is not None
    # from the launch on the crew is at the launch, and no ground is in the way
    assert found.open_ratio == pytest.approx(without.open_ratio, abs=2e-3)
    assert np.array_equal(found.timely_ratio, without.open_ratio)
    assert np.array_equal(found.reach_ratio, without.reach_ratio)


def test_a_picture_that_is_lost_shuts_every_field_and_is_named(
    deaf: Ensemble, ground: Terrain
) -> None:
    picture, command = deaf.sortie.links
    weak = replace(picture, power_w=2e-3)
    ensemble = hearing(deaf, ground, weak, command)
    found = asked_of(ensemble)
    high = found.amsl_m > 15_000.0
    assert found.open_ratio[high].max() < 0.5
    assert found.timely_ratio[high, HOME].max() > 0.9
    assert found.holding is not None
    assert found.holding.purposes == ("command", "picture")
    assert found.holding.by_purpose[high, HOME, 1].max() < 0.5
    assert found.holding.by_purpose[high, HOME, 0].min() > 0.9


def test_behind_the_ridge_a_near_field_waits_for_the_stand_on_it(
    deaf: Ensemble, ground: Terrain
) -> None:
    """From home the ridge hides Tansy Lea; the car is on the ridge from T+30 on."""
    found = asked_of(hearing(deaf, ground))
    assert found.holding is not None
    t = found.after_launch_s / 60.0
    before, after = (t > 10.0) & (t < 27.0), (t > 31.0) & (t < 33.0)
    assert found.timely_ratio[before, TANSY].min() > 0.9
    assert found.open_ratio[before, TANSY].max() < 0.1
    assert set(found.holding.stand[before, TANSY]) == {0}
    assert set(found.holding.stand[after, TANSY]) == {2}
    assert found.timely_ratio[after, TANSY].min() > 0.8
    kept = found.open_ratio[after, TANSY] / found.timely_ratio[after, TANSY]
    assert kept.min() > 0.99


def test_a_stand_counts_from_when_the_car_is_there(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    home, knap, gap = sortie.stands
    assert [ready_s(sortie, one) / 60.0 for one in (home, knap, gap)] == [0.0, 42.0, 30.0]
    unknown = replace(knap, drive_s=None)
    # 23.5 km, 1.35 times as far by road, at 50 km/h: common practice, no source
    assert drive_s(sortie, unknown) / 60.0 == pytest.approx(23.5 * 1.35 / 50.0 * 60.0, rel=0.01)
    assert drive_s(sortie, replace(home, drive_s=None)) == 0.0


def test_with_nobody_at_a_stand_yet_nothing_holds(deaf: Ensemble, ground: Terrain) -> None:
    sortie = replace(deaf.sortie, stands=deaf.sortie.stands[1:2])
    ensemble = replace(deaf, sortie=sortie, listening=listening_of(sortie, ground))
    found = asked_of(ensemble)
    assert found.holding is not None
    early = found.after_launch_s < 42.0 * 60.0
    assert (found.holding.stand[early] == -1).all()
    assert found.open_ratio[early].max() == 0.0
    assert (found.holding.stand[~early] == 0).all()


def test_the_odds_step_up_when_a_stand_is_manned_not_before(
    deaf: Ensemble, ground: Terrain
) -> None:
    """At 40.2 min, between two moments of the clock and far from those asked about anyway."""
    knap = replace(deaf.sortie.stands[1], drive_s=36.2 * 60.0)
    sortie = replace(deaf.sortie, stands=(deaf.sortie.stands[0], knap))
    ensemble = replace(deaf, sortie=sortie, listening=listening_of(sortie, ground))
    found = held(ensemble, moments_of(ensemble), ensemble.goals)
    assert found is not None
    first = math.ceil(40.2 * 60.0 / ensemble.climbs.tracks.step_s)
    assert found.by_purpose[:first, TANSY].max() < 0.2
    assert found.by_purpose[first : first + 12, TANSY].min() > 0.9
    assert set(found.stand[:first, TANSY]) == {0}
    assert set(found.stand[first : first + 12, TANSY]) == {1}


def test_a_second_picture_link_helps(deaf: Ensemble, ground: Terrain) -> None:
    picture, command = deaf.sortie.links
    poor = replace(picture, power_w=0.25, spread_db=4.0)
    one = asked_of(hearing(deaf, ground, poor, command)).holding
    two = asked_of(hearing(deaf, ground, poor, poor, command)).holding
    assert one is not None
    assert two is not None
    at = np.argmax((one.by_purpose[:, HOME, 1] > 0.3) & (one.by_purpose[:, HOME, 1] < 0.8))
    p = one.by_purpose[at, HOME, 1]
    assert p < two.by_purpose[at, HOME, 1] <= 1.0 - (1.0 - p) ** 2 + 0.02


def test_a_link_for_positions_alone_does_not_count(deaf: Ensemble, ground: Terrain) -> None:
    beacon = replace(deaf.sortie.links[0], purpose="position")
    ensemble = hearing(deaf, ground, beacon)
    assert held(ensemble, moments_of(ensemble), ensemble.goals) is None
    assert asked_of(ensemble).holding is None


def test_the_window_ends_by_the_link_that_fails_first(deaf: Ensemble, ground: Terrain) -> None:
    """A command that ends at 45 km: the balloon goes beyond it, and comes back."""
    picture, command = deaf.sortie.links
    short = replace(command, sensitivity_dbm=None, reached_m=41_500.0, spread_db=0.3)
    ensemble = hearing(deaf, ground, picture, short)
    sortie = replace(ensemble.sortie, wish=replace(ensemble.sortie.wish, wanted_amsl_m=0.0))
    found = decide(replace(ensemble, sortie=sortie), asked_of(ensemble))
    assert found is not None
    assert not math.isnan(found.chance_ratio)


def test_a_window_begins_when_the_stand_of_its_best_moment_is_manned(
    deaf: Ensemble, ground: Terrain
) -> None:
    """From the gap a far field opens at T+16; the car that waits there is not on the hill."""
    home, knap, gap = deaf.sortie.stands
    sortie = replace(
        deaf.sortie,
        wish=replace(deaf.sortie.wish, wanted_amsl_m=0.0),
        fields=deaf.sortie.fields[2:3],
        stands=(home, replace(gap, drive_s=12.0 * 60.0), replace(knap, drive_s=22.0 * 60.0)),
    )
    goals = deaf.goals._replace(
        **{name: values[2:3] for name, values in deaf.goals._asdict().items()}
    )
    ensemble = replace(deaf, sortie=sortie, goals=goals, listening=listening_of(sortie, ground))
    chances = asked_of(ensemble)
    found = decide(ensemble, chances)
    assert found is not None
    assert chances.holding is not None
    stand = int(chances.holding.stand[found.best, 0])
    assert found.from_s >= ready_s(sortie, sortie.stands[stand])
    assert chances.open_ratio[chances.after_launch_s < 22.0 * 60.0, 0].max() > 0.9
    assert stand == 2


def test_asked_about_many_fields_fewer_draws_stand_for_all(
    deaf: Ensemble, ground: Terrain, demo_flight: FlightFile
) -> None:
    ensemble = hearing(deaf, ground)
    goals = ensemble.goals._replace(
        **{name: np.tile(values, 40) for name, values in ensemble.goals._asdict().items()}
    )
    moments = moments_of(ensemble)[::12]
    few, all_ = held(ensemble, moments, goals), held(ensemble, moments, ensemble.goals)
    assert few is not None
    assert all_ is not None
    assert few.ratio.shape == (60, len(moments), 160)
    assert few.by_purpose[:, :4] == pytest.approx(all_.by_purpose, abs=0.05)


@pytest.mark.parametrize(("n_asked", "within_ratio"), [(59, 0.01), (40, 0.03)])
def test_draws_not_asked_take_the_odds_of_their_nearest(
    deaf: Ensemble,
    ground: Terrain,
    monkeypatch: pytest.MonkeyPatch,
    n_asked: int,
    within_ratio: float,
) -> None:
    """Balloons far off are out of reach and badly heard together: chance of means are others."""
    picture, command = deaf.sortie.links
    ensemble = hearing(deaf, ground, replace(picture, offset_db=-6.0), command)
    whole = asked_of(ensemble)
    monkeypatch.setattr("farglide.chances.holding._FIELDS_IN_FULL", 0)
    assert ensemble.listening is not None
    few = replace(ensemble.listening, fewest_draws=n_asked)
    thinned = asked_of(replace(ensemble, listening=few))
    assert whole.holding is not None
    assert whole.holding.by_purpose[:, HOME, 1].min() < 0.7
    assert thinned.open_ratio == pytest.approx(whole.open_ratio, abs=within_ratio)
    assert thinned.chance_ratio == pytest.approx(whole.chance_ratio, abs=within_ratio)


def test_flat_ground_under_the_links_is_said(deaf: Ensemble, ground: Terrain) -> None:
    for ensemble, terrain, said in (
        (hearing(deaf, None), None, True),
        (hearing(deaf, ground), ground, False),
        (deaf, None, False),
    ):
        notes = plan_notes(ensemble, Pack(sounding=ensemble.air.sounding, terrain=terrain))
        assert any("flat ground assumed" in note for note in notes) == said


@pytest.mark.parametrize(("n_rows", "words"), [(33, "at 10 % of"), (1, "at less than 1 % of")])
def test_gaps_in_the_ground_under_the_links_are_said(
    deaf: Ensemble, ground: Terrain, n_rows: int, words: str
) -> None:
    """Behind a gap on the ridge a stand seems to hear: 21 dB too well at Tansy Lea."""
    heights = ground.heights_amsl_m.copy()
    heights[:n_rows] = np.nan
    ensemble = hearing(deaf, ground)
    holed = Pack(sounding=ensemble.air.sounding, terrain=replace(ground, heights_amsl_m=heights))
    (said,) = [
        note for note in plan_notes(ensemble, holed) if "nothing counts as in the way" in note
    ]
    assert words in said
