"""Surprises: known by name, put together, and refused where they contradict each other."""

from dataclasses import fields, replace

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.errors import ContradictionError, InputError
from farglide.live.rehearse.surprises import (
    SURPRISES,
    Changes,
    changes_of,
    surprises_of,
    without_refused,
)


def test_no_surprise_changes_nothing() -> None:
    assert changes_of(()) == Changes()


def test_each_changes_something_and_has_a_name_of_its_own() -> None:
    assert len({one.name for one in SURPRISES}) == len(SURPRISES)
    for one in SURPRISES:
        assert one.changes != Changes(), one.name


def test_every_change_is_made_by_one_of_them() -> None:
    changed = {
        part.name
        for one in SURPRISES
        for part in fields(Changes)
        if getattr(one.changes, part.name) != part.default
    }
    assert changed == {part.name for part in fields(Changes)}


def test_several_are_put_together_and_named_once() -> None:
    found = changes_of(surprises_of(("leak", "late-car", "leak")))
    assert (found.leak_ratio_ps, found.leak_from_s, found.car_late_s) == (0.00034, 2280.0, 900.0)
    assert changes_of(surprises_of(("slow-leak", "leak"))) == changes_of(
        surprises_of(("slow-leak",))
    )


def test_those_that_contradict_each_other_are_refused() -> None:
    what = "winds-right and winds-left change the same thing. Leave one of them out."
    with pytest.raises(ContradictionError, match=what):
        changes_of(surprises_of(("winds-right", "winds-left")))


def test_an_unknown_one_is_refused() -> None:
    with pytest.raises(InputError, match=r"--surprise is 'rain'; allowed: slow-leak, burst-tied"):
        surprises_of(("rain",))


def test_what_is_said_is_said_in_its_order_whoever_says_it() -> None:
    found = changes_of(surprises_of(("upside-down", "aircraft", "frost")))
    minutes = [one.after_launch_s / 60.0 for one in found.says]
    assert minutes == [12.0, 17.0, 25.0, 40.0, 42.0]


def test_the_second_field_is_refused(planned: Ensemble) -> None:
    sortie, changes = planned.sortie, changes_of(surprises_of(("owner-refuses",)))
    assert without_refused(sortie, Changes()) == sortie
    names = [one.name for one in sortie.fields]
    left = [one.name for one in without_refused(sortie, changes).fields]
    assert left == [names[0], *names[2:]]
    alone = replace(sortie, fields=sortie.fields[:1])
    with pytest.raises(ContradictionError, match=r"there is but one\. Leave that surprise out"):
        without_refused(alone, changes)
