"""Unknowns: guessed numbers alone are asked about, dearest first, both ways."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from farglide.air.column import Sounding
from farglide.chances.ensemble import drawn_ensemble
from farglide.chances.trial import Trial, summed_up
from farglide.plan.unknowns import UNKNOWNS, _shifted, _tried_shift, unknowns
from farglide.sortie.spec import Sortie, Tag

Alike = Callable[[Trial, Trial], bool]
SHIFTS = [
    (section, name, sign)
    for key, _, section, name, _ in UNKNOWNS
    for sign in (1.0, -1.0)
    if key.rpartition(".")[2]
    not in ("reaction", "drag_coefficient", "drag_factor", "span_efficiency_ratio")
]


@pytest.mark.parametrize(("section", "name", "sign"), SHIFTS)
def test_a_shift_answers_as_the_shifted_flight_drawn_afresh(
    demo_sounding: Sounding, loose: Trial, section: str, name: str, sign: float, alike: Alike
) -> None:
    shifted = _shifted(section, name, sign)(loose.ensemble.sortie)
    assert shifted != loose.ensemble.sortie
    taken = _tried_shift(loose, (section, name), sign)
    assert taken is not None
    assert taken.ensemble.sortie == shifted
    fresh = drawn_ensemble(shifted, demo_sounding, loose.ensemble.grain)
    assert alike(taken, summed_up(fresh))


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
    every = {key.replace(".", "__"): Tag.GUESS for key, *_ in UNKNOWNS}
    ensemble = replace(loose.ensemble, sortie=tagged(loose.ensemble.sortie, **every))
    found = unknowns(replace(loose, ensemble=ensemble))
    assert len({u.what for u in found}) == len(found) >= 8
    shifts = [abs(u.release_by_shift_s) for u in found]
    assert shifts == sorted(shifts, reverse=True)
    for unknown in found:
        assert unknown.advice
        assert unknown.chance_ratio <= loose.chance_ratio + 0.02
    diameter = next(u for u in found if u.what == "bursting diameter")
    fewer = _tried_shift(loose, ("balloon", "burst_diameter_m"), -1.0)
    assert fewer is not None
    assert diameter.chance_ratio == fewer.chance_ratio
