"""The page as a browser lays it out: no label on another, nothing cut, nothing too small."""

from collections.abc import Iterator
from types import ModuleType

import pytest

from farglide.outlook.outlook import Outlook
from farglide.report.brief import render_brief

from .boxes import VIEWS, Found, measured
from .plans import FLIGHTS, handmade, long_names, planned, six_fields

POINT_PX = 96.0 / 72.0
MM_PX = 96.0 / 25.4
Measured = dict[tuple[str, str], Found]


@pytest.fixture(scope="module")
def plans(samples: ModuleType) -> dict[str, Outlook]:
    """Return plans by name: made by hand, and one in the winds of a real sounding."""
    found = handmade(samples)
    real = planned(FLIGHTS["sounding"])
    return {**found, "real winds": real, "real winds, six long names": long_names(six_fields(real))}


@pytest.fixture(scope="module")
def found(plans: dict[str, Outlook], tmp_path_factory: pytest.TempPathFactory) -> Measured:
    """Return what a browser measured of each plan in each view."""
    pages = {name: render_brief(plan) for name, plan in plans.items()}
    return measured(pages, tmp_path_factory.mktemp("boxes"))


def pictures(found: Measured) -> Iterator[tuple[tuple[str, str], Found]]:
    for key, view in found.items():
        for one in view["pictures"]:
            yield key, one


def test_no_label_lies_on_another_or_on_a_curve(found: Measured) -> None:
    told = {
        (*key, one["name"]): [*one["clashes"], *one["crossed"], *one["outside"]]
        for key, one in pictures(found)
        if one["clashes"] or one["crossed"] or one["outside"]
    }
    assert told == {}
    assert sum(len(one["words"]) for _, one in pictures(found)) > 60 * len(found)


def test_every_named_place_is_labelled(found: Measured, plans: dict[str, Outlook]) -> None:
    for (name, view), one in pictures(found):
        words = " ".join(one["words"])
        for n, field in enumerate(plans[name].fields, start=1):
            if one["name"] == "strip":
                assert f"{n} {field.name}" in words, (name, view)
            if one["name"] == "ladder" and view != "phone":
                assert all(part in words for part in field.name.split()), (name, view)
            if one["name"] == "side":
                assert str(n) in words, (name, view)


def test_no_name_is_cut(found: Measured) -> None:
    for key, one in pictures(found):
        assert not [words for words in one["words"] if "…" in words], (key, one["name"])


def test_nothing_is_wider_than_the_screen_and_nothing_scrolls_sideways(found: Measured) -> None:
    told = {key: (view["wide"], view["hidden"]) for key, view in found.items()}
    assert {key: one for key, one in told.items() if one != ([], [])} == {}


def test_type_on_paper_is_9_point_and_11_where_it_goes_wrong(found: Measured) -> None:
    for (name, view), one in found.items():
        if view == "paper":
            small = [row for row in one["types"] if row[0] < 9.0 * POINT_PX - 0.01]
            assert small == [], name
            faults = [row for row in one["types"] if row[2] == "wrong"]
            assert faults
            assert min(row[0] for row in faults) >= 11.0 * POINT_PX - 0.01
    for (name, view), one in pictures(found):
        if view == "paper":
            assert one["px"] >= 9.0 * POINT_PX - 0.01, (name, one["name"])


def test_the_first_sheet_gives_its_room_to_what_is_looked_at(found: Measured) -> None:
    for (name, view), one in pictures(found):
        if view == "paper" and one["name"] == "ladder":
            assert one["high"] >= 120.0 * MM_PX, name
        if view == "paper" and one["name"] == "map":
            assert min(one["high"], one["wide"]) >= 80.0 * MM_PX - 0.5, name
    for (name, view), one in found.items():
        if view == "paper":
            assert one["answer_lines"] <= 3, name


def test_all_views_were_measured(found: Measured, plans: dict[str, Outlook]) -> None:
    assert set(found) == {(name, view) for name in plans for view in VIEWS}
    assert all(one["pictures"] for one in found.values())
