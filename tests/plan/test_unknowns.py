"""Unknowns: guessed numbers alone are asked about, dearest first, both ways."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.trial import Trial, summed_up
from farglide.plan.unknowns import UNKNOWNS, Unknown, shifted, unknowns
from farglide.sortie.spec import Sortie, Tag

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
    assert {u.what for u in unknowns(base)} == {"balloon drag", "bursting diameter"}
    for tags, expected in (
        ({}, set()),
        ({"balloon__neck_lift_kg": Tag.GUESS}, {"neck lift"}),
        # a second more or less of reaction time moves nothing that a reader could see
        ({"crew__reaction_s": Tag.TYPICAL, "glider__glide_factor": Tag.GUESS}, {"L/D"}),
        ({"launch__amsl_m": Tag.GUESS, "train__line_kg": Tag.GUESS}, set()),
    ):  # fmt: skip
        ensemble = replace(base.ensemble, sortie=tagged(base.ensemble.sortie, **tags))
        found = unknowns(replace(base, ensemble=ensemble))
        assert {u.what for u in found} == expected


def test_unknowns_stand_dearest_first_and_tell_the_worse_side(loose: Trial) -> None:
    every = {key.replace(".", "__"): Tag.GUESS for one in UNKNOWNS for key in one.keys}
    ensemble = replace(loose.ensemble, sortie=tagged(loose.ensemble.sortie, **every))
    found = unknowns(replace(loose, ensemble=ensemble))
    assert len({u.what for u in found}) == len(found) >= 8
    shifts = [abs(u.release_by_shift_s) for u in found]
    assert shifts == sorted(shifts, reverse=True)
    for unknown in found:
        assert unknown.advice
        assert unknown.chance_ratio <= loose.chance_ratio + 0.02
    diameter = next(u for u in found if u.what == "bursting diameter")
    fewer = summed_up(shifted(loose.ensemble, UNKNOWNS[0], -1.0))
    assert diameter.chance_ratio == fewer.chance_ratio
