"""The strip of times: bars and gaps where the values say."""

from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.ascent import Spread
from farglide.outlook.outlook import Outlook
from farglide.present.draw.strip import rows, strip

from ...conftest import SVG, parsed, rects, words_of


def test_strip_bars_stand_at_their_times(outlook: Outlook) -> None:
    root = parsed(strip.strip_svg(outlook))
    look = rows.PAPER
    # from ten minutes before launch to two minutes after the sunset at T+173: by two of its ticks
    at = {e.text: float(e.attrib["x"]) for e in root.iter(f"{SVG}text")}
    scale = (at["19:00"] - at["17:00"]) / 120.0

    def x(minute: float) -> float:
        return at["17:00"] + scale * (minute - 20.0)

    assert x(173.0 + 2.0) == pytest.approx(look.width_px - look.right_px, abs=0.02)

    first = sorted(rects(root, data_state="open"))
    home = outlook.fields[0].bands
    assert first[0][0] == pytest.approx(x(home[1].from_after_launch_s / 60.0), abs=0.02)
    # a bar that runs beyond the median burst at T+83 ends there
    assert max(box[0] + box[2] for box in first) == pytest.approx(x(83.0), abs=0.02)
    words = words_of(root)
    assert "shut 17:09–17:41" in words
    assert "once open, some field always is" in words
    assert "burst: 1 in 10 by 18:00, 5 in 10 by 18:03, 9 in 10 by 18:05" in words
    assert "sunset 19:33, dusk 20:08" in words


def test_gaps_open_the_bar_of_any_field(samples: ModuleType) -> None:
    root = parsed(strip.strip_svg(samples.no_release()))
    assert "no field open 17:22–17:28" in words_of(root)
    y_any = sorted({box[1] for box in rects(root, data_state="open")})[4]
    assert len([b for b in rects(root, data_state="open") if b[1] == y_any]) == 2


def test_bars_of_a_balloon_that_hardly_ever_bursts_run_as_far_as_they_are_told(
    outlook: Outlook,
) -> None:
    never = Spread(p10=float("nan"), p50=float("nan"), p90=float("nan"))
    burst = replace(outlook.ascent.burst, after_launch_s=never)
    root = parsed(strip.strip_svg(replace(outlook, ascent=replace(outlook.ascent, burst=burst))))
    words = words_of(root)
    assert "shut 17:09–17:41" in words
    right = max(box[0] + box[2] for box in rects(root, data_state="open"))
    assert right > rows.PAPER.label_px + 200.0
    assert not root.findall(".//*[@class='s-burst']")


def test_links_are_not_drawn_while_nobody_is_at_the_stand(samples: ModuleType) -> None:
    plan = samples.with_links()
    root = parsed(strip.strip_svg(plan))
    at = {e.text: float(e.attrib["x"]) for e in root.iter(f"{SVG}text")}
    ready_x = at["17:00"] + (at["18:00"] - at["17:00"]) * (42.0 - 20.0) / 60.0
    bars = [float(e.attrib["x"]) for e in root.iter(f"{SVG}rect") if e.get("class") == "f-link"]
    wires = [float(e.attrib["x1"]) for e in root.iter(f"{SVG}line") if e.get("class") == "s-link"]
    assert bars
    assert wires
    assert min(*bars, *wires) >= ready_x - 0.1
    # heard well at T+30 on the way, with nobody there: the weakest moment told is a manned one
    assert "least +6 dB at 17:55" in words_of(root)


def test_long_labels_take_more_lines_and_are_never_cut(outlook: Outlook) -> None:
    name = "Upper Common beyond the old railway and its long embankment"
    changed = replace(outlook, fields=(replace(outlook.fields[0], name=name),))
    for look in (rows.PAPER, rows.PHONE):
        said = " ".join(words_of(parsed(strip.strip_svg(changed, look))))
        assert f"1 {name}" in said
        assert "…" not in said
