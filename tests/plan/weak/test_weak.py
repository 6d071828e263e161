"""Weak: one answer of three parts, each as its own room gives it."""

from dataclasses import replace

from farglide.outlook.links import LinksOutlook
from farglide.plan.planned import Planned
from farglide.plan.weak.blind import blind_release
from farglide.plan.weak.causes import expected_pictures
from farglide.plan.weak.weak import weak_outlook
from farglide.plan.weak.weaker import LOSSES_DB


def test_all_three_parts_are_told(asked: tuple[Planned, LinksOutlook]) -> None:
    release, found = asked
    told = weak_outlook(release, found)
    names = [link.name for link in release.case.sortie.links]
    assert {(one.link, one.loss_db) for one in told.weaker} == {
        (name, loss_db) for name in names for loss_db in LOSSES_DB
    }
    assert told.blind == blind_release(release, found)
    assert told.blind is not None
    wanted = expected_pictures(release.case.sortie, found, release.after_launch_s)
    assert told.expected == wanted
    assert [one.link for one in told.expected] == ["picture"]


def test_without_ears_there_is_nothing_weak(asked: tuple[Planned, LinksOutlook]) -> None:
    release, found = asked
    case = replace(release.case, drawn=replace(release.case.drawn, ears=None))
    assert weak_outlook(replace(release, case=case), found).weaker == ()
