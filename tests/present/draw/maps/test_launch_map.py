"""The map of the area: what is drawn, where, and in which words."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from farglide.outlook.charted import GroundGrid
from farglide.outlook.launch import LaunchArea
from farglide.present.draw.maps.launch_fill import step_rows
from farglide.present.draw.maps.launch_map import (
    HEIGHT_PX,
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


def drawn(svg: str, what: str) -> list[ET.Element]:
    """Return the shapes that are said to be this."""
    return [one for one in ET.fromstring(svg).iter() if one.get("data-is") == what]


def corners(shape: ET.Element) -> list[tuple[float, float]]:
    pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", shape.get("d", ""))
    return [(float(x), float(y)) for x, y in pairs]


def test_steps_lines_and_marks_are_there(area: LaunchArea) -> None:
    svg = launch_svg(area)
    for step in ("dense", "lines", "dots"):
        assert len(drawn(svg, step)) == 1
    for said in (
        "launch: 9 in 10", "best spot: 19 in 20", "Harrowend", "Tansy Lea", "Stile Gap",
    ):  # fmt: skip
        assert said in words(svg)
    assert len(drawn(svg, "launch")) == 1  # the ring of the stated launch
    assert drawn(svg, "drive")  # as far as the drive leads
    assert not drawn(launch_svg(replace(area, drive_radius_m=None)), "drive")
    assert 'aria-label="Map, north up: chance of home by where it is launched.' in svg


def test_up_drift_lies_where_the_drift_comes_from(area: LaunchArea) -> None:
    """The drift goes to the south-east, so the best spot stands left of the launch and above."""
    svg = launch_svg(area)
    (ring,) = drawn(svg, "launch")
    arms = [corner for one in drawn(svg, "cross") for corner in corners(one)]
    assert max(x for x, _ in arms) < float(ring.attrib["cx"])
    assert max(y for _, y in arms) < float(ring.attrib["cy"])


def test_the_advised_spot_is_framed_on_paper_of_its_own(area: LaunchArea) -> None:
    """It lies where the chance is best, so where the pattern is densest."""
    svg = launch_svg(area)
    (frame,) = drawn(svg, "framed")
    arms = [corner for one in drawn(svg, "cross") for corner in corners(one)]
    xs, ys = zip(*corners(frame), strict=True)
    assert all(min(xs) < x < max(xs) and min(ys) < y < max(ys) for x, y in arms)
    assert "f-paper" in frame.get("class", "")
    assert float(frame.get("stroke-width", "0")) >= 2.5
    shapes = list(ET.fromstring(svg).iter())
    order = [one.get("data-is") for one in shapes]
    assert order.index("dense") < order.index("framed")


def test_the_large_map_has_the_key_of_its_steps(area: LaunchArea) -> None:
    svg = launch_svg(area)
    assert len(drawn(svg, "key")) == len(step_rows()) == 4
    said = " ".join(words(svg))
    for _, meaning in step_rows():
        assert meaning in said
    assert float(ET.fromstring(svg).attrib["height"]) > HEIGHT_PX
    assert not drawn(launch_svg(area, small=True), "key")


def test_the_ground_is_shaded_where_it_is_known(area: LaunchArea) -> None:
    y, x = np.meshgrid(np.linspace(-1.0, 1.0, 41), np.linspace(-1.0, 1.0, 41), indexing="ij")
    heights = np.round(200.0 + 600.0 * np.exp(-(x * x + y * y) / 0.05))
    ground = GroundGrid(
        north_deg=-45.0, west_deg=106.5, step_lat_deg=0.06, step_lon_deg=0.07,
        amsl_m=tuple(map(tuple, heights.tolist())),
    )  # fmt: skip
    assert launch_svg(area, ground=ground).count("<image") == 1
    assert "<image" not in launch_svg(area)


@pytest.mark.parametrize("layer", LAYERS)
def test_each_layer_has_ids_of_its_own(area: LaunchArea, layer: str) -> None:
    svg = launch_svg(area, layer, small=True)
    ids = re.findall(' id="(.*?)"', svg)
    assert len(ids) == len(set(ids)) >= 4
    assert all(layer.replace("_", "-") in one for one in ids)
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    assert f'width="{SMALL_WIDTH_PX:.0f}"' in svg
    assert WIDTH_PX > SMALL_WIDTH_PX
    assert "best spot: 19 in 20" not in words(svg)
    assert "Gollan" not in " ".join(words(svg))


def test_an_area_without_a_chance_still_has_a_map(area: LaunchArea) -> None:
    none = tuple(
        replace(one, home_ratio=0.0, home_any_height_ratio=0.0, any_field_ratio=0.0)
        for one in area.spots
    )
    svg = launch_svg(replace(area, spots=none, free=None, advised=area.stated))
    assert not any(drawn(svg, step) for step in ("dense", "lines", "dots"))
    assert "launch: 9 in 10" in words(svg)


def test_the_note_names_only_what_is_there(area: LaunchArea) -> None:
    told = launch_note(area)
    assert "released above 20 km" in told
    assert "Outlined pattern: a barrier" in told
    assert "as far as the drive leads, some 37 km" in told
    bare = launch_note(replace(area, lines=(), drive_radius_m=None))
    assert "barrier" not in bare
    assert "circle" not in bare


def test_the_note_tells_of_the_lines_that_are_drawn(area: LaunchArea) -> None:
    def told(most: float) -> str:
        spots = tuple(
            replace(
                one,
                home_ratio=min(one.home_ratio, most),
                home_any_height_ratio=min(one.home_any_height_ratio, most),
                any_field_ratio=min(one.any_field_ratio, most),
            )
            for one in area.spots
        )
        return launch_note(replace(area, spots=spots))

    assert "; the thick line holds 9 in 10 or better; the thin line" in told(1.0)
    assert "thick" not in told(0.8)
    assert "; the thin line holds 5 in 10 or better. Framed" in told(0.8)
    assert " line holds " not in told(0.3)
