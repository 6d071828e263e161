"""Unknowns: guessed numbers alone are asked about, costliest first, both ways."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.trial import Trial, summed_up
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.unknowns import UNKNOWNS, Unknown, asked_about, shifted, unknowns
from farglide.radio.ends.end import GroundTest
from farglide.rig.listening import drive_s, listening_of
from farglide.sortie.known import Tag
from farglide.sortie.spec import Sortie

Alike = Callable[[Trial, Trial], bool]
SHIFTS = [(one, sign) for one in UNKNOWNS for sign in (1.0, -1.0) if one.name != "reaction_s"]


@pytest.mark.parametrize(("unknown", "sign"), SHIFTS)
def test_a_shift_answers_as_the_shifted_flight_drawn_afresh(
    demo_sounding: Sounding,
    loose: Trial,
    unknown: Unknown,
    sign: float,
    alike: Alike,
    keep_minutes: Callable[[Ensemble], None],
) -> None:
    keep_minutes(loose.ensemble)
    taken = shifted(loose.ensemble, unknown, sign)
    assert taken.sortie != loose.ensemble.sortie
    fresh = drawn_ensemble(taken.sortie, demo_sounding, loose.ensemble.grain)
    assert alike(summed_up(taken), summed_up(fresh))


def tagged(sortie: Sortie, **tags: Tag) -> Sortie:
    known = dict.fromkeys(sortie.tags, Tag.MEASURED)
    return replace(sortie, tags=known | {k.replace("__", "."): t for k, t in tags.items()})


def test_only_guessed_and_typical_numbers_are_asked_about(base: Trial) -> None:
    always = "how well it is flown by picture"  # nothing in the flight file says it is measured
    assert {u.what for u in unknowns(base)} == {"balloon drag", "bursting diameter", always}
    for tags, expected in (
        ({}, set()),
        ({"balloon__neck_lift_kg": Tag.GUESS}, {"neck lift"}),
        # a second more or less of reaction time moves nothing that a reader could see
        ({"crew__reaction_s": Tag.TYPICAL, "glider__glide_factor": Tag.GUESS}, {"glide ratio"}),
        ({"launch__amsl_m": Tag.GUESS, "train__line_kg": Tag.GUESS}, set()),
    ):  # fmt: skip
        ensemble = replace(base.ensemble, sortie=tagged(base.ensemble.sortie, **tags))
        found = unknowns(replace(base, ensemble=ensemble))
        assert {u.what for u in found} == expected | {always}


def test_unknowns_stand_costliest_first_and_tell_the_worse_side(loose: Trial) -> None:
    every = {key.replace(".", "__"): Tag.GUESS for one in UNKNOWNS for key in one.keys}
    ensemble = replace(loose.ensemble, sortie=tagged(loose.ensemble.sortie, **every))
    found = unknowns(replace(loose, ensemble=ensemble))
    assert len({u.what for u in found}) == len(found) >= 8
    costs = [(round(u.moved_ratio, 2), abs(u.release_by_shift_s)) for u in found]
    assert costs == sorted(costs, reverse=True)
    assert costs[0][0] > 0.0
    for unknown in found:
        assert unknown.advice
        assert unknown.chance_ratio <= loose.chance_ratio + 0.02
    diameter = next(u for u in found if u.what == "bursting diameter")
    sides = [summed_up(shifted(loose.ensemble, UNKNOWNS[0], sign)) for sign in (1.0, -1.0)]
    chances = sorted(side.chance_ratio for side in sides)
    assert diameter.chance_ratio == chances[0]
    assert diameter.moved_ratio == chances[1] - chances[0]


def test_a_link_that_no_test_has_told_stands_with_what_it_may_cost(
    demo_flight: FlightFile, demo_sounding: Sounding, base: Trial
) -> None:
    picture, command = demo_flight.sortie.links
    weak = replace(picture, power_w=picture.power_w / 12.0, spread_db=8.0)
    sortie = replace(demo_flight.sortie, links=(weak, command))
    heard = replace(
        drawn_ensemble(sortie, demo_sounding, base.ensemble.grain),
        listening=listening_of(sortie, terrain=None),
    )
    assert not any("link" in u.what for u in unknowns(summed_up(heard)))  # tested, says the file
    guessed = tagged(sortie, links__0=Tag.GUESS)
    guessed = replace(guessed, tags=guessed.tags | {"links[picture].offset_db": Tag.TYPICAL})
    first = unknowns(summed_up(replace(heard, sortie=guessed)))[0]
    assert (first.what, first.advice) == (
        "budget of the picture link (off by 8 dB)",
        "the ground test",
    )
    assert first.moved_ratio > 0.1
    # one that was made in the open, and told by distance and margin, is no unknown
    made = replace(weak, tested=GroundTest(distance_m=1000.0, attenuator_db=30.0, margin_db=20.0))
    tested = replace(guessed, links=(made, command))
    found = unknowns(summed_up(replace(heard, sortie=tested)))
    assert not any("link" in u.what for u in found)


def test_packs_stands_winds_and_readings_are_asked_about_where_they_are_not_known(
    demo_flight: FlightFile, demo_sounding: Sounding, base: Trial
) -> None:
    sortie = tagged(demo_flight.sortie)
    old = replace(demo_sounding, t_s=demo_sounding.t_s - 6.0 * 3600.0)
    stands = tuple(replace(one, drive_s=None) for one in sortie.stands)
    sortie = replace(sortie, stands=stands)
    keys = (
        "packs[all].energy_wh", "packs[all].cold_ratio", "packs[all].insulation_wpk",
        "release.seen_error_m", "crew.set_up_s",
    )  # fmt: skip
    guessed = replace(sortie, tags=sortie.tags | dict.fromkeys(keys, Tag.GUESS))
    few = replace(base.ensemble.grain, n_draws=50)
    heard = replace(
        drawn_ensemble(guessed, old, few), listening=listening_of(guessed, terrain=None)
    )
    asked = asked_about(heard)
    assert [one.what for one in asked] == [
        "how well it is flown by picture",
        "energy of pack all",
        "what the cold leaves of pack all",
        "insulation of pack all",
        "the height that the crew reads",
        "winds along the drift, out and home",
        "time to set up at a stand",
        *(f"drive to {one.name}" for one in stands if drive_s(guessed, one) > 0.0),
    ]
    assert all(one.test for one in asked)
    for one in asked:
        if not one.what.startswith("insulation"):  # there is no box
            sides = [one.shift(heard, sign) for sign in (1.0, -1.0)]
            assert all(side is not heard for side in sides)
    silent = replace(guessed, release=replace(guessed.release, seen_by="none"))
    names = [one.what for one in asked_about(replace(heard, sortie=silent, listening=None))]
    assert "the height that the crew reads" not in names
    assert not any("drive" in name or "set up" in name for name in names)
