"""Single points of failure: sets of needs worked by hand, and the time there is to mend."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.chances import Chances
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.heights import chances_of_heights
from farglide.chances.window import Decision
from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.faults import PartFailure
from farglide.plan.faults.failures import failures, needs_of, part_failures
from farglide.plan.faults.unsteered import door_life_s
from farglide.sim.core.shares import failure_bound_ratio
from farglide.sortie.gear import PartSpec, TriggerSpec
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie

Planned = tuple[Ensemble, Chances, Decision]


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    """Return the demo with its links."""
    return demo_flight.sortie


@pytest.fixture(scope="module")
def known(sortie: Sortie, demo_sounding: Sounding) -> Planned:
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5)
    ensemble = drawn_ensemble(sortie, demo_sounding, asked)
    chances = chances_of_heights(ensemble)
    decision = decide(ensemble, chances)
    assert decision is not None
    return with_plain(ensemble).plain, chances, decision


def by_name(sortie: Sortie) -> dict[str, PartFailure]:
    return {one.part: one for one in part_failures(sortie)}


def test_the_worst_part_comes_first(sortie: Sortie) -> None:
    """What ends both release and picture stands before what ends one of them."""
    link = replace(sortie.links[0], needs=("feed cable", "pack all"))
    pin = TriggerSpec(name="pin", needs=("servo", "pack all"), n_tests=0, n_failures=0)
    one, *others = part_failures(replace(sortie, links=(link,), triggers=(pin,), parts=()))
    assert (one.part, one.links, one.ends_release) == ("pack all", ("picture",), True)
    assert [other.part for other in others] == ["servo", "feed cable"]


def test_what_ends_with_each_part_of_the_demo(sortie: Sortie) -> None:
    found = by_name(sortie)
    pack = found["pack all"]
    assert pack.links == ("picture", "command")
    assert pack.purposes == ("picture", "command")
    assert pack.ends_release
    assert (pack.at, pack.fails_in_3h_ratio) == ("aboard", 0.01)
    assert pack.both_fail_in_3h_ratio == pytest.approx(1e-4)
    power = found["car power"]
    assert power.links == ("picture", "command")
    assert not power.ends_release  # the detector of falling still releases
    assert (power.at, power.swap_s, power.fails_in_3h_ratio) == (None, None, None)
    assert power.both_fail_in_3h_ratio is None
    cable = found["feed cable"]
    assert (cable.links, cable.at, cable.swap_s) == (("picture",), "ground", 120.0)
    # each of two triggers has its own: neither ends anything alone
    assert not {"pin servo", "hot wire", "falling detector"} & set(found)
    assert next(iter(found)) == "pack all"  # the worst comes first
    assert list(found)[1] == "car power"


def test_two_triggers_on_one_pack_leave_the_pack_single(known: Planned) -> None:
    plain, chances, decision = known
    found = failures(plain, chances, decision, 140)
    assert found is not None
    assert found.shared_by_triggers == ("pack all",)
    bounds = [failure_bound_ratio(20, 0), failure_bound_ratio(12, 0)]
    assert [one.fails_ratio for one in found.triggers] == bounds
    # 1 - 0.05^(1/20) = 0.139 and 1 - 0.05^(1/12) = 0.221
    assert found.none_releases_ratio == pytest.approx(0.1391 * 0.2209, rel=1e-3)


def test_a_trigger_with_a_pack_of_its_own_frees_the_pack(sortie: Sortie) -> None:
    command, falling = sortie.triggers
    own = replace(falling, needs=("falling detector", "hot wire", "pack two"))
    found = by_name(replace(sortie, triggers=(command, own)))
    assert not found["pack all"].ends_release
    assert "pack two" not in found
    alone = by_name(replace(sortie, triggers=(command,)))
    assert all(
        alone[part].ends_release
        for part in ("pack all", "car power", "command transmitter", "pin servo")
    )
    assert not alone["feed cable"].ends_release
    none = by_name(replace(sortie, triggers=()))
    assert not any(part.ends_release for part in none.values())


def test_a_second_link_of_its_kind_is_told(sortie: Sortie) -> None:
    picture, command = sortie.links
    second = replace(
        picture, name="picture 2", needs=("picture transmitter", "second receiver", "pack all")
    )
    found = by_name(replace(sortie, links=(picture, second, command)))
    assert found["picture receiver"].links == ("picture",)
    assert found["picture receiver"].purposes == ()
    assert found["picture transmitter"].links == ("picture", "picture 2")
    assert found["picture transmitter"].purposes == ("picture",)


def test_links_stand_for_their_needs_even_in_a_circle(sortie: Sortie) -> None:
    picture, command = sortie.links
    picture = replace(picture, needs=("link COMMAND", "feed cable"))
    command = replace(command, needs=("link picture", "Pack All"))
    for one in (picture, command):
        assert needs_of(one, (picture, command)) == {"feed cable", "pack all"}
    pin = TriggerSpec(name="pin", needs=("link command",), n_tests=0, n_failures=0)
    assert needs_of(pin, (picture, command)) == {"feed cable", "pack all"}
    found = by_name(replace(sortie, links=(picture, command), triggers=(pin,)))
    assert found["feed cable"].links == ("picture", "command")
    assert found["Pack All"].ends_release


def test_against_a_slow_twin_of_sets(sortie: Sortie) -> None:
    """Take one part away and ask what still works, for made-up needs."""
    rng = np.random.default_rng(3)
    names = [f"part {i}" for i in range(7)]

    def some() -> tuple[str, ...]:
        return tuple(rng.choice(names, size=int(rng.integers(0, 4)), replace=False).tolist())

    for _ in range(60):
        links = tuple(
            replace(sortie.links[int(rng.integers(2))], name=f"link {i}", needs=some())
            for i in range(3)
        )
        triggers = tuple(
            TriggerSpec(name=f"t{i}", needs=some(), n_tests=1, n_failures=0)
            for i in range(int(rng.integers(0, 3)))
        )
        found = by_name(replace(sortie, links=links, triggers=triggers, parts=()))
        for name in names:
            lost = tuple(link.name for link in links if name in link.needs)
            dead = bool(triggers) and not [t for t in triggers if name not in t.needs]
            if not lost and not dead:
                assert name not in found
                continue
            assert (found[name].links, found[name].ends_release) == (lost, dead)
            left = {link.purpose for link in links if name not in link.needs}
            assert not left & set(found[name].purposes)


def test_time_in_hand_shrinks_with_the_flight(known: Planned) -> None:
    plain, chances, decision = known
    moment = round(decision.release_by_s / plain.climbs.tracks.step_s)
    found = failures(plain, chances, decision, moment)
    assert found is not None
    climb, window, glide = found.hands
    assert (climb.phase, window.phase, glide.phase) == ("climb", "window", "glide")
    assert climb.from_after_launch_s == 0.0
    assert window.from_after_launch_s == decision.from_s
    # the last moment that is open and, the burst counted, not under doubtful: about the median
    # burst at T+82, well before the last open moment at T+92
    whole = (1.0 - chances.burst_ratio)[:, None]
    worth = (chances.open_ratio >= 0.9) & (chances.open_ratio * whole >= 0.5)
    last_s = chances.after_launch_s[np.flatnonzero(worth.any(axis=1))[-1]]
    assert climb.in_hand_s == pytest.approx(last_s)
    assert 78 * 60.0 < last_s < 84 * 60.0
    assert window.in_hand_s == pytest.approx(last_s - decision.from_s)
    assert glide.in_hand_s == door_life_s(plain, moment, decision.field)
    assert glide.in_hand_s is not None
    assert 600.0 < glide.in_hand_s < 900.0
    assert "Harrowend strip is out of reach, hands off" in glide.until


def test_what_is_not_known_is_said_so(known: Planned) -> None:
    plain, chances, decision = known
    glider = replace(plain.sortie.glider, hands_off_sink_eas_mps=None)
    other = replace(plain, sortie=replace(plain.sortie, glider=glider))
    found = failures(other, chances, decision, 140)
    assert found is not None
    assert found.hands[-1].in_hand_s is None
    shut = replace(chances, open_ratio=np.zeros_like(chances.open_ratio))
    found = failures(plain, shut, None, 140)
    assert found is not None
    assert [(hand.phase, hand.in_hand_s) for hand in found.hands] == [("climb", None)]
    assert found.hands[0].until == "none is worth a release"


def test_a_trigger_never_tried_has_no_odds(known: Planned) -> None:
    plain, chances, decision = known
    command, falling = plain.sortie.triggers
    untried = replace(falling, n_tests=0)
    other = replace(plain, sortie=replace(plain.sortie, triggers=(command, untried)))
    found = failures(other, chances, decision, 140)
    assert found is not None
    assert found.triggers[1].fails_ratio is None
    assert found.none_releases_ratio is None


def test_without_needs_there_is_nothing_to_tell(known: Planned) -> None:
    plain, chances, decision = known
    links = tuple(replace(link, needs=()) for link in plain.sortie.links)
    bare = replace(plain.sortie, links=links, triggers=(), parts=())
    assert failures(replace(plain, sortie=bare), chances, decision, 140) is None
    assert part_failures(bare) == ()


def test_parts_are_known_by_name_whatever_the_case(sortie: Sortie) -> None:
    part = PartSpec(name="Feed Cable", at="ground", fails_in_3h_ratio=0.5, swap_s=60.0)
    found = by_name(replace(sortie, parts=(part,)))
    assert found["feed cable"].both_fail_in_3h_ratio == 0.25
