"""Thirty whole plans in made-up and in real winds, laid out by a browser: run by `make labels`."""

from pathlib import Path
from typing import Final

import pytest

from farglide.report.brief import render_brief

from .boxes import Found, measured
from .plans import CHANGES, FLIGHTS, planned

SHOWN: Final = ("as it is", "one field", "six long names", "shut", "long names")


@pytest.mark.parametrize("name", FLIGHTS)
def test_no_label_of_ten_plans_lies_on_another(name: str, tmp_path: Path) -> None:
    pages: dict[str, str] = {}
    for late in (False, True):
        outlook = planned(FLIGHTS[name], late=late)
        for change in SHOWN:
            pages[f"{change}, {'late' if late else 'on time'}"] = render_brief(
                CHANGES[change](outlook)
            )
    assert len(pages) == 10
    found = measured(pages, tmp_path)
    told = {
        (*key, one["name"]): one["clashes"] + one["crossed"] + one["outside"]
        for key, view in found.items()
        for one in view["pictures"]
        if one["clashes"] or one["crossed"] or one["outside"]
    }
    assert told == {}
    assert {key: _narrow(view) for key, view in found.items() if _narrow(view)} == {}


def _narrow(view: Found) -> list[str]:
    """Return what is wider than its view, or scrolls sideways unnoticed, or names that are cut."""
    cut = [words for one in view["pictures"] for words in one["words"] if "…" in words]
    return [*view["wide"], *view["hidden"], *cut]
