"""The strip of times: bars and gaps where the values say."""

from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.ascent import Spread
from farglide.outlook.outlook import Outlook
from farglide.present.draw import strip

from ..conftest import parsed, rects, words_of


def test_strip_bars_stand_at_their_times(outlook: Outlook) -> None:
    root = parsed(strip.strip_svg(outlook))
    look = strip.PAPER
    # from ten minutes before launch to two minutes after the sunset at T+173
    scale = (look.width_px - look.label_px - look.right_px) / (10.0 + 173.0 + 2.0)

    def x(minute: float) -> float:
        return look.label_px + scale * (10.0 + minute)

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
    assert right > strip.PAPER.label_px + 200.0
    assert not root.findall(".//*[@class='s-burst']")
