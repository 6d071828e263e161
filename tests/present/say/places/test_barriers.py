"""Barriers on the way home: what the answer, the brief and the side view tell of them."""

import math
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.barriers import BarrierWay, Needed, Station
from farglide.outlook.outlook import Outlook
from farglide.outlook.release import BarrierSide
from farglide.present.draw.side.scale import PAPER, PHONE, SideLook
from farglide.present.draw.side.side import side_svg
from farglide.present.say.places.barriers import barriers_part
from farglide.report.brief import render_brief

from ....reading import answer_lines

KM = 1000.0


def needed(km: float) -> Needed:
    open_m = () if math.isnan(km) else ((km * KM, math.inf),)
    return Needed(open_amsl_m=open_m, error_free_amsl_m=0.9 * km * KM)


def way(on_km: tuple[float, float, float], back_km: tuple[float, ...] = ()) -> BarrierWay:
    behind = [needed(km) for km in back_km] or [None] * 3
    first, second, third = (
        Station(beyond_edge_m=4.0 * KM * k, lat_deg=-46.5, lon_deg=108.0, ahead=ahead, behind=back)
        for k, (ahead, back) in enumerate(zip(map(needed, on_km), behind, strict=True))
    )
    return BarrierWay(
        barrier="Fen Lake",
        kind="water",
        start="the planned release",
        open_ratio=0.9,
        ahead="Harrowend",
        behind="Brackmoor" if back_km else "",
        stations=(first, second, third),
        decision_s=1500.0 if back_km else math.nan,
    )


CHOICE = way((17.3, 16.4, 15.4), (1.1, 1.5, 1.9))


@pytest.fixture
def crossing(samples: ModuleType) -> Callable[[BarrierWay], Outlook]:
    """Return a function that makes the sample cross a barrier between 25 and 34 km."""

    def make(one: BarrierWay) -> Outlook:
        made: Outlook = samples.sample()
        strip = BarrierSide(
            barrier=one.barrier,
            from_along_m=34.0 * KM,
            to_along_m=25.0 * KM,
            commit_amsl_m=one.stations[0].ahead.amsl_m,
        )
        return replace(made, barriers=(one,), side=replace(made.side, barriers=(strip,)))

    return make


Crossing = Callable[[BarrierWay], Outlook]


def test_heights_on_and_back_and_the_time_between_are_told(crossing: Crossing) -> None:
    assert barriers_part(crossing(CHOICE)).facts == [
        "Fen Lake, water: fly on to Harrowend from 17.3 km at its edge, 16.4 km midway, 15.4 km at "
        "the far edge; turn back to Brackmoor from 1.1 km at its edge, 1.5 km midway, 1.9 km at "
        "the far edge",
        "cross it from 17.3 km up; from there Brackmoor stays open for 25 min after the edge, not "
        "longer",
        "heights are above sea level, for a chance of 9 in 10, by height alone",
    ]


def test_without_a_field_behind_there_is_no_turning_back(crossing: Crossing) -> None:
    words = barriers_part(crossing(way((17.3, 16.4, 15.4)))).facts
    assert "back to" not in words[0]
    assert words[1].endswith("there is nothing to turn back to")


def test_a_barrier_that_no_height_clears_is_not_to_be_crossed(crossing: Crossing) -> None:
    outlook = crossing(way((math.nan, math.nan, 15.4), (1.1, 1.5, 1.9)))
    words = barriers_part(outlook).facts
    assert "from no height at its edge, no height midway, 15.4 km at the far edge" in words[0]
    assert "do not plan to cross here" in words[1]
    assert 'data-barrier="commit"' not in side_svg(outlook)
    assert "Fen Lake" in side_svg(outlook)


def test_answer_and_brief_tell_them_and_a_plan_without_does_not(
    crossing: Crossing, samples: ModuleType
) -> None:
    outlook = crossing(CHOICE)
    assert "Barriers on the way home" in answer_lines(outlook)
    page = render_brief(outlook)
    assert "Barriers on the way home" in page
    for cell in ("17.3 (15.6) Harrowend", "1.9 (1.7) Brackmoor", "25 min after the edge"):
        assert cell in page
    assert "Barriers on the way home" not in answer_lines(samples.sample())
    assert "Barriers on the way home" not in render_brief(samples.sample())


@pytest.mark.parametrize("look", [PAPER, PHONE])
def test_the_side_view_has_the_strip_and_the_tick(crossing: Crossing, look: SideLook) -> None:
    outlook = crossing(CHOICE)
    drawn = side_svg(outlook, look)
    root = ET.fromstring(drawn)
    strips = [one for one in root.iter() if one.get("data-barrier") == "strip"]
    ticks = [one for one in root.iter() if one.get("data-barrier") == "commit"]
    assert len(strips) == len(ticks) == 1
    left, width = (float(strips[0][0].get(key, "nan")) for key in ("x", "width"))
    tick = [float(ticks[0].get(key, "nan")) for key in ("x1", "x2")]
    assert sum(tick) / 2.0 == pytest.approx(left + width, abs=0.2)  # the edge met first
    assert "Fen Lake: 17.3 km" in drawn
    assert "Fen Lake: on from 17.3 km." in drawn
