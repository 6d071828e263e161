"""The map of the area: what is drawn, where, and in which words."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.launch import LaunchArea
from farglide.present.draw.maps.launch_map import (
    LAYERS,
    SMALL_WIDTH_PX,
    WIDTH_PX,
    launch_note,
    launch_svg,
)


@pytest.fixture
def area(samples: ModuleType) -> LaunchArea:
    made = samples.launch_area(may_drive_s=3600.0)
    assert isinstance(made, LaunchArea)
    return made


def words(svg: str) -> list[str]:
    return [text for text in ET.fromstring(svg).itertext() if text.strip()]


def test_steps_lines_and_marks_are_there(area: LaunchArea) -> None:
    svg = launch_svg(area)
    assert re.findall('data-step="(.*?)"', svg) == ["dense", "lines", "dots"]
    for said in (
        "launch: 9 in 10", "best spot: 19 in 20", "home, Harrowend", "Tansy Lea", "Stile Gap",
    ):  # fmt: skip
        assert said in words(svg)
    assert svg.count("<circle") == 2  # a dot of the pattern, and the ring of the stated launch
    assert 'stroke-dasharray="7 3 1.5 3"' in svg  # as far as the drive leads
    assert 'dasharray="7 3 1.5 3"' not in launch_svg(replace(area, drive_radius_m=None))
    assert 'aria-label="Map, north up: chance of home by where it is launched.' in svg


def test_up_drift_lies_where_the_drift_comes_from(area: LaunchArea) -> None:
    """The drift goes to the south-east, so the best spot stands left of the launch and above."""
    svg = launch_svg(area)
    ring = re.search(r'<circle cx="([\d.]+)" cy="([\d.]+)" r="6.5"', svg)
    cross = re.search(r'<line x1="([\d.]+)" y1="([\d.]+)" [^>]*class="s-paper"', svg)
    assert ring is not None
    assert cross is not None
    assert float(cross[1]) + 6.0 < float(ring[1])
    assert float(cross[2]) + 6.0 < float(ring[2])


@pytest.mark.parametrize("layer", LAYERS)
def test_each_layer_has_ids_of_its_own(area: LaunchArea, layer: str) -> None:
    svg = launch_svg(area, layer, small=True)
    ids = re.findall('id="(.*?)"', svg)
    assert len(ids) == len(set(ids)) == 4
    assert all(layer.replace("_", "-") in one for one in ids)
    assert f'width="{SMALL_WIDTH_PX:.0f}"' in svg
    assert WIDTH_PX > SMALL_WIDTH_PX
    assert "best spot: 19 in 20" not in words(svg)


def test_an_area_without_a_chance_still_has_a_map(area: LaunchArea) -> None:
    none = tuple(
        replace(one, home_ratio=0.0, home_any_height_ratio=0.0, any_field_ratio=0.0)
        for one in area.spots
    )
    svg = launch_svg(replace(area, spots=none, free=None, advised=area.stated))
    assert "data-step" not in svg
    assert "launch: 9 in 10" in words(svg)


def test_the_note_names_only_what_is_there(area: LaunchArea) -> None:
    told = launch_note(area)
    assert "released above 20 km" in told
    assert "Broken outline: a barrier" in told
    assert "as far as the drive leads, some 37 km" in told
    bare = launch_note(replace(area, lines=(), drive_radius_m=None))
    assert "barrier" not in bare
    assert "circle" not in bare
