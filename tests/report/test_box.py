"""The printed plan of a payload: the landing first, its map, and what a crew must not forget."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.outlook.payload import PayloadOutlook
from farglide.report.box import render_box

from ..present.payload_sample import payload_sample, without_words
from .boxes import BROWSER, measured


@pytest.fixture(scope="module")
def box() -> PayloadOutlook:
    return payload_sample()


def text(page: str) -> str:
    bare = re.sub(r"<style.*?</style>", "", page, flags=re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", bare).split())


def test_answer_map_landing_fill_climb_links_and_cautions_are_there(box: PayloadOutlook) -> None:
    told = text(render_box(box))
    for words in (
        "Not cleared. Missing: balloon in the airspace.",
        "Look again. Is that meant?",
        "71 km east of the launch, near 25.093 S 64.803 W; 9 in 10 land within",
        "Where it comes down",
        "The fall takes 44 min",
        "it must just float",
        "Latex and line fall too",
        "Hydrogen burns",
        "5 in 10 have burst by",
        "FL330",
        "picture at Wether Knap: weakest at",
        "Where to aim",
        "Flat ground.",
    ):
        assert words.casefold() in told.replace("\u2009", " ").casefold(), words


def test_nothing_is_missing_and_nothing_is_asked_of_a_plain_one() -> None:
    told = text(render_box(without_words()))
    assert "Not cleared" not in told
    assert "Look again" not in told


def test_hostile_names_stay_words_and_the_same_plan_gives_the_same_bytes(
    box: PayloadOutlook,
) -> None:
    page = render_box(replace(box, name="<script>x</script>", launch_name="<b>here</b>"))
    assert "<script" not in page
    assert "<b>here" not in page
    assert render_box(box) == render_box(box)
    assert "https://" not in page
    targets = re.findall(r'href="#([a-z]+)"', page)
    assert targets == ["where", "climb"]
    assert all(page.count(f'id="{one}"') == 1 for one in targets)


@pytest.mark.skipif(BROWSER is None, reason="no browser to lay it out with")
def test_no_label_lies_on_another_and_nothing_is_wider_than_a_phone(
    box: PayloadOutlook, tmp_path: Path
) -> None:
    for view in measured({"box": render_box(box)}, tmp_path).values():
        assert not view["wide"]
        assert not view["hidden"]
        for one in view["pictures"]:
            assert not one["clashes"], one
            assert not one["outside"], one
