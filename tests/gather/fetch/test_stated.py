"""Keys of one section of the file of addresses: what each allows."""

from typing import Any

import pytest

from farglide.errors import FlightFileError
from farglide.gather.fetch.addresses import sources_of
from farglide.gather.fetch.source import Steps

Section = dict[str, Any]


def cropped(**other: Any) -> Section:
    """Return a section that is right, with other keys; None takes one out."""
    section = {
        "kind": "cropped", "gives": "winds", "producer": "P", "product": "Q", "licence": "L",
        "attribution": "A", "field_part": "&v_{field}", "level_part": "&l_{level}",
        "address": "http://a.example/{date}{hour}{step}{fields}{levels}{north}{south}{west}{east}",
        "grid_deg": 0.25, "run_hours": [12, 0], "appears_after_h": 3, "complete_after_h": 5,
        "steps_h": [[1, 6]], "levels_hpa": [10, 1000], "fields": ["HGT"], "pause_s": 1,
    }  # fmt: skip
    return {key: value for key, value in {**section, **other}.items() if value is not None}


def problems(**other: Any) -> list[str]:
    with pytest.raises(FlightFileError) as caught:
        sources_of({"one": cropped(**other)}, "mine.toml")
    return [str(one) for one in caught.value.problems]


def test_what_is_stated_is_sorted_and_typed() -> None:
    (one,) = sources_of({"one": cropped(lacking=[["HGT", 10]])}, "mine.toml")
    assert (one.run_hours, one.levels_hpa) == ((0, 12), (1000.0, 10.0))
    assert one.steps_h == (Steps(1, 6),)
    assert one.lacking == {("HGT", 10.0)}
    assert one.addresses == (cropped()["address"],)
    (more,) = sources_of({"one": cropped(also=["RH", "RH"])}, "mine.toml")
    assert (one.also, more.also) == ((), ("RH",))


@pytest.mark.parametrize(
    ("key", "value", "told"),
    [
        ("producer", None, "[one] producer: is missing."),
        ("licence", "two\nlines", "not one line of text"),
        ("licence", 401 * "x", "holds 401 characters; allowed: 400"),
        ("attribution", "  ", "not one line of text"),
        ("address", None, "[one] address: is missing."),
        ("address", "http://a.example/", "lacks {date}."),
        ("address", 7, "holds 7, not a text"),
        ("mirrors", "http://a.example/", "not a list of up to 10 addresses"),
        ("mirrors", ["http://a.example/"], "[one] mirrors: "),
        ("field_part", "&v_", "Write a short text without blanks with {field} in it"),
        ("level_part", "&{x}{level}", "no other braces are allowed"),
        ("grid_deg", 0, "is 0; allowed: 1e-05 to 5"),
        ("grid_deg", "fine", "allowed: 1e-05 to 5"),
        ("run_hours", [0, 24], "holds 24. Write run_hours = [0, 6, 12, 18]"),
        ("run_hours", [], "is missing"),
        ("steps_h", [[0, 3]], "holds [0, 3]"),
        ("steps_h", [[1, 6], [3, 6]], "has stretches that do not follow each other"),
        ("levels_hpa", [1000, "10 hPa"], 'holds "10 hPa"'),
        ("levels_hpa", 1000, "is 1000, not such a list"),
        ("fields", ["H G T"], 'holds "H G T"'),
        ("lacking", [["HGT"]], 'holds ["HGT"]'),
        ("also", "RH", "not such a list"),
        ("pause_s", -1, "is -1; allowed: 0 to 600"),
        ("pause_s", True, "is true; allowed: 0 to 600"),
        ("appears_after_h", 6, "complete_after_h: is before appears_after_h"),
        ("kind", "whale", 'Did you mean "whole"?'),
        ("gives", None, "[one] gives: is missing."),
        ("use", "no", "Write use = true or use = false"),
        ("pauses_s", 3, "Did you mean pause_s?"),
    ],
)
def test_each_key_is_refused_with_what_to_write(key: str, value: Any, told: str) -> None:
    found = problems(**{key: value})
    assert any(told.replace("'", '"') in one.replace("'", '"') for one in found), found


def test_an_ensemble_names_its_members_and_an_index_has_a_suffix() -> None:
    found = problems(gives="members")
    assert any("[one] members: is missing" in one for one in found)
    found = problems(kind="whole", address="http://a.example/{date}{hour}{step}", least_messages=-1)
    assert any("[one] index_suffix: is missing" in one for one in found)
    assert any("least_messages: is -1; allowed: a whole number" in one for one in found)
    assert any("[one] package: is missing" in one for one in problems(kind="client"))
