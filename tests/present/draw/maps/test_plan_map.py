"""The map of a plan: every place named, in millimetres, lines of reach and heights told apart."""

import re
from dataclasses import replace
from types import ModuleType
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from farglide.outlook.charted import ChartOutlook, GroundGrid
from farglide.outlook.launch import MapLine, MapMark
from farglide.outlook.outlook import Outlook
from farglide.present.draw.chart.cutting import crossings, segments_of
from farglide.present.draw.maps.plan_map import PX_PER_MM, SIZE_MM, map_note, map_svg
from farglide.present.draw.place import Point

from ...conftest import SVG, parsed, words_of

WOOD = ((-46.53, 108.42), (-46.64, 108.45), (-46.83, 108.21), (-46.78, 108.12))


def charted() -> ChartOutlook:
    y, x = np.meshgrid(np.linspace(-1.0, 1.0, 41), np.linspace(-1.0, 1.0, 41), indexing="ij")
    heights = np.round(200.0 + 600.0 * np.exp(-((x + 0.3) ** 2 + y * y) / 0.05))
    return ChartOutlook(
        lat_deg=-46.5,
        lon_deg=108.0,
        stands=(
            MapMark(kind="stand", name="Harrowend", lat_deg=-46.5, lon_deg=108.0),
            MapMark(kind="stand", name="Wether Knap", lat_deg=-46.636, lon_deg=108.235),
            MapMark(kind="stand", name="Stile Gap", lat_deg=-46.589, lon_deg=108.164),
        ),
        lines=(
            MapLine(name="Gollan Wood", kind="closed forest", points=WOOD),
            MapLine(name="", kind="road", points=((-46.4, 108.0), (-46.9, 108.6))),
        ),
        ground=GroundGrid(
            north_deg=-46.2, west_deg=107.6, step_lat_deg=0.025, step_lon_deg=0.035,
            amsl_m=tuple(map(tuple, heights.tolist())),
        ),
        wide=None,
    )  # fmt: skip


def drawn(root: ET.Element, what: str) -> list[ET.Element]:
    return [one for one in root.iter() if one.get("data-is") == what]


def said(root: ET.Element) -> str:
    return " ".join(words_of(root))


def test_every_place_is_named_and_the_ground_is_shaded(outlook: Outlook) -> None:
    root = parsed(map_svg(replace(outlook, chart=charted())))
    for name in (*(one.name for one in outlook.fields), "Wether Knap", "Stile Gap", "Gollan Wood"):
        assert name in said(root)
    assert {"1", "2", "3", "4"} <= set(words_of(root))
    assert len(drawn(root, "stand")) == 3
    assert len(drawn(root, "field")) == 4
    assert drawn(root, "barrier")
    assert drawn(root, "road")
    assert len(list(root.iter(f"{SVG}image"))) == 1
    assert re.search(r"\d{3} m", said(root))  # the top of the hill


def test_lines_of_reach_and_rings_of_the_drift_tell_their_heights(outlook: Outlook) -> None:
    root = parsed(map_svg(outlook))
    for words in ("1 from 6 km", "1 from 12 km", "1 from 20 km", "2 from 14 km"):
        assert words in said(root)
    assert "release, 26 km up" in said(root)
    assert "12 km up" in said(root)
    assert drawn(root, "burst")
    assert "burst" in said(root)
    note = map_note(outlook)
    assert "full field 1, dashed field 2" in note
    assert "reach" not in map_note(replace(outlook, contours=()))
    far = tuple(
        replace(one, points=tuple((x + 1e6, y) for x, y in one.points)) for one in outlook.contours
    )
    assert "thin line" not in map_note(replace(outlook, contours=far))  # none lies on the map
    assert "Squares" not in note
    assert "Squares: stands" in map_note(replace(outlook, chart=charted()))


def test_the_size_is_in_millimetres(outlook: Outlook) -> None:
    root = parsed(map_svg(outlook))
    assert min(SIZE_MM) >= 80.0
    assert float(root.attrib["width"]) == pytest.approx(SIZE_MM[0] * PX_PER_MM, abs=0.01)
    wide = parsed(map_svg(outlook, (120.0, 90.0), "wide"))
    assert float(wide.attrib["width"]) == pytest.approx(453.54, abs=0.01)
    assert float(wide.attrib["height"]) == pytest.approx(340.16, abs=0.01)


def test_the_stand_of_the_car_is_solid(samples: ModuleType) -> None:
    plan = samples.with_links()
    assert plan.car is not None
    root = parsed(map_svg(plan))
    classes = [one.get("class", "") for one in drawn(root, "stand")]
    assert sum("f-ink" in one for one in classes) == 1
    assert f"car at {plan.car.stand}" in said(root)


def test_a_field_far_off_does_not_shrink_the_map(outlook: Outlook) -> None:
    far = replace(outlook.fields[0], east_m=-150_000.0, north_m=20_000.0)
    changed = replace(outlook, fields=(far, *outlook.fields[1:]))
    root = parsed(map_svg(changed))
    assert f"{far.name}, 151 km off" in said(root)
    assert len(drawn(root, "beyond")) == 1  # an arrow at the edge
    bars = [bar_px(one) for one in (root, parsed(map_svg(outlook)))]
    assert bars[0] == pytest.approx(bars[1], rel=0.3)


def bar_px(root: ET.Element) -> float:
    (bar,) = drawn(root, "scale")
    left, right = re.findall(r"[ML]([\d.]+) ", bar.attrib["d"])
    return float(right) - float(left)


def test_north_is_up_and_the_scale_is_the_same_both_ways(outlook: Outlook) -> None:
    dots = drawn(parsed(map_svg(outlook)), "field")
    home, tansy, _, corrand = [(float(d.attrib["cx"]), float(d.attrib["cy"])) for d in dots]
    assert tansy[0] > home[0]  # east of home, so to the right
    assert tansy[1] > home[1]  # south of home, so lower
    ratio_x = (corrand[0] - home[0]) / 47.6
    ratio_y = (corrand[1] - home[1]) / 33.5
    assert ratio_x == pytest.approx(ratio_y, rel=2e-3)


def boxes(root: ET.Element) -> list[tuple[float, float, float, float]]:
    """Return what the labels cover, as a browser measures it: 1 above the line, 0.2 below."""
    found = []
    for one in root.iter(f"{SVG}text"):
        x, y, size, wide = (float(one.attrib[key]) for key in ("x", "y", "font-size", "textLength"))
        found.append((x, y - size, x + wide, y + 0.2 * size))
    return found


LONG = "Upper Tansy Meadow behind the old mill at Little"


@pytest.mark.parametrize("seed", range(30))
def test_no_label_touches_another_and_every_place_is_named(outlook: Outlook, seed: int) -> None:
    """Six fields and four stands at random places along the drift, with long names."""
    rng = np.random.default_rng(seed)
    at = rng.uniform((0.0, -36e3), (50e3, 4e3), (10, 2)).tolist()
    fields = tuple(
        replace(outlook.fields[n % 4], name=f"{LONG} {n}" if n == 2 else f"Field of {n} oaks",
                east_m=at[n][0], north_m=at[n][1])
        for n in range(6)
    )  # fmt: skip
    stands = tuple(
        MapMark(kind="stand", name=f"Stand on hill {n}", lat_deg=-46.5 + at[n][1] / 111.2e3,
                lon_deg=108.0 + at[n][0] / 76.7e3)
        for n in range(6, 10)
    )  # fmt: skip
    plan = replace(outlook, fields=fields, chart=replace(charted(), stands=stands))
    root = parsed(map_svg(plan))
    found = boxes(root)
    for i, a in enumerate(found):
        for b in found[:i]:
            is_lone = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] + 0.01 or b[3] <= a[1] + 0.01
            assert is_lone, (words_of(root)[i], b)
    curves = [one for one in root.iter() if one.get("data-curve")]
    assert {"drift", "reach", "road"} <= {one.get("data-curve") for one in curves}
    inks = np.array(found) + np.array((0.0, 0.26 * 12.0, 0.0, -0.01))
    for one in curves:
        pairs = re.findall(r"(-?[\d.]+) (-?[\d.]+)", one.attrib["d"])
        if one.get("data-curve") != "scale":  # its words stand right above it
            line = segments_of([Point(float(x), float(y)) for x, y in pairs])
            assert not crossings(inks, line).any(), one.attrib
    for name in (*(one.name for one in fields), *(one.name for one in stands), "Gollan Wood"):
        start = " ".join(name.split()[:3])
        assert start in said(root), name
