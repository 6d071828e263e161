"""The pictures: well-formed, labelled, escaped, and drawn where the values say."""

import re
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from types import ModuleType
from xml.etree import ElementTree as ET

import pytest

from farglide.outlook.fields import Band
from farglide.outlook.outlook import Outlook
from farglide.present.draw import side, strip
from farglide.present.draw.ladder import frame as ladder_frame
from farglide.present.draw.ladder import ladder
from farglide.present.draw.maps import plan_map

SVG = "{http://www.w3.org/2000/svg}"
PICTURES: dict[str, Callable[[Outlook], str]] = {
    "ladder": ladder.ladder_svg,
    "ladder on a phone": lambda o: ladder.ladder_svg(o, ladder_frame.PHONE, "phone"),
    "strip": strip.strip_svg,
    "strip on a phone": lambda o: strip.strip_svg(o, strip.PHONE, "phone"),
    "side": side.side_svg,
    "side on a phone": lambda o: side.side_svg(o, side.PHONE),
    "map": plan_map.map_svg,
}
LEAST_PX = 11.33  # 8.5 point at 96 px to the inch: the least that may stand on paper


def _parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def _words(root: ET.Element) -> list[str]:
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def _rects(root: ET.Element, **attributes: str) -> list[tuple[float, float, float, float]]:
    found = [
        rect
        for rect in root.iter(f"{SVG}rect")
        if all(rect.get(key.replace("_", "-")) == value for key, value in attributes.items())
    ]
    return [
        (
            float(r.attrib["x"]),
            float(r.attrib["y"]),
            float(r.attrib["width"]),
            float(r.attrib["height"]),
        )
        for r in found
    ]


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("variant", ["sample", "not_cleared", "no_release", "hostile"])
def test_every_picture_is_xml_with_a_label(samples: ModuleType, name: str, variant: str) -> None:
    outlook = getattr(samples, variant)()
    svg = PICTURES[name](outlook)
    root = _parsed(svg)
    assert root.get("role") == "img"
    assert len(root.get("aria-label", "")) > 40
    assert "<script" not in svg
    assert "<b>" not in svg
    assert not re.search(r"(?:href|src)=|url\((?!#)", svg)
    for element in root.iter():
        for key, value in element.attrib.items():
            if key not in {"aria-label"}:
                assert "nan" not in value
                assert "inf" not in value


@pytest.mark.parametrize("name", ["ladder", "strip", "side", "map"])
def test_words_on_paper_are_large_enough(outlook: Outlook, name: str) -> None:
    sizes = [
        float(element.attrib["font-size"])
        for element in _parsed(PICTURES[name](outlook)).iter(f"{SVG}text")
    ]
    assert min(sizes) >= LEAST_PX


def test_the_ladder_says_one_sentence_for_each_column(outlook: Outlook) -> None:
    label = _parsed(ladder.ladder_svg(outlook)).get("aria-label", "")
    assert label.startswith(outlook.verdict)
    for field in outlook.fields:
        assert field.name in label
    assert (
        "Harrowend doubtful to 1.2 km, open to 5.0 km, doubtful to 8.3 km, shut to 19.8 km, "
        "doubtful to 23.4 km, open above." in label
    )
    assert "Brackmoor shut to 3.4 km, doubtful to 4.2 km, open above." in label


def test_bands_stand_at_their_heights(outlook: Outlook) -> None:
    # the scale by hand: the 19-in-20 height is 31.8 km, so the top of the scale is 34 km
    look = ladder_frame.PAPER
    span = look.height_px - look.top_px - look.bottom_px

    def y(height_km: float) -> float:
        return look.top_px + span * (1.0 - height_km / 34.0)

    root = _parsed(ladder.ladder_svg(outlook))
    drawn = _rects(root, data_state="open")
    first = [box for box in drawn if box[0] == look.left_px]
    # below the cap 59 of 60 have burst: between 0.9673 at 32.0 km and 0.9902 at 32.5
    cap = 32.0 + 0.5 * (59.0 / 60.0 - 0.9673) / (0.9902 - 0.9673)
    expected = [(1.2, 5.0), (23.4, cap)]
    assert len(first) == len(expected)
    for (_, top, _, height), (low, high) in zip(first, expected, strict=True):
        assert top == pytest.approx(y(high), abs=0.02)
        assert height == pytest.approx(y(low) - y(high), abs=0.02)
    hatched = [b for b in _rects(root, data_state="doubtful") if b[0] == look.left_px]
    assert [round(box[1], 1) for box in hatched] == [round(y(h), 1) for h in (1.2, 8.3, 23.4)]
    assert len(drawn) == 2 + 2 + 1 + 1  # open bands of the four fields


def test_the_first_column_is_wider_and_no_columns_meet(outlook: Outlook) -> None:
    boxes = sorted(
        {(x, w) for x, _, w, _ in _rects(_parsed(ladder.ladder_svg(outlook)), data_state="open")}
    )
    assert len(boxes) == 4
    assert boxes[0][1] == pytest.approx(1.18 * boxes[1][1], abs=0.02)
    for (x0, w0), (x1, _) in pairwise(boxes):
        assert x0 + w0 < x1


def test_the_frame_stands_round_the_window_of_the_released_field(outlook: Outlook) -> None:
    root = _parsed(ladder.ladder_svg(outlook))
    ((x, y, _, height),) = _rects(root, data_frame="window")
    look = ladder_frame.PAPER
    span = look.height_px - look.top_px - look.bottom_px
    middle = look.top_px + span * (1.0 - 25.925 / 34.0)  # the middle of 25.4 and 26.45 km
    assert y + height / 2.0 == pytest.approx(middle, abs=0.02)
    assert x == pytest.approx(look.left_px - 5.0)
    assert {"17:54", "17:55"} <= set(_words(root))

    assert outlook.release is not None
    other = replace(outlook, release=replace(outlook.release, field="Corrand"))
    ((x_other, *_),) = _rects(_parsed(ladder.ladder_svg(other)), data_frame="window")
    assert x_other > x


def test_no_release_draws_no_frame(samples: ModuleType) -> None:
    outlook = samples.no_release()
    assert not _rects(_parsed(ladder.ladder_svg(outlook)), data_frame="window")
    assert "no release window" in _words(_parsed(strip.strip_svg(outlook)))


def test_clock_times_of_passing_stand_at_the_right_edge(outlook: Outlook) -> None:
    words = _words(_parsed(ladder.ladder_svg(outlook)))
    # 5, 10, 15 and 20 km of the track: T+17.9, 34.3, 49.0 and 62.0 min after 16:40
    for when in ("16:40", "16:57", "17:14", "17:29", "17:41"):
        assert when in words


def test_more_fields_than_columns_are_named_in_words(outlook: Outlook) -> None:
    assert ladder.left_out_words(outlook) == ""
    words = ladder.left_out_words(outlook, ladder_frame.PHONE)
    assert words == "Not drawn here: Corrand; see the clock below."
    drawn = _words(_parsed(ladder.ladder_svg(outlook, ladder_frame.PHONE)))
    assert "Harrowend" in drawn
    assert "Corrand" not in drawn


def test_no_field_leaves_one_empty_column(outlook: Outlook) -> None:
    bare = replace(outlook, fields=(), release=None, contours=())
    assert "no field" in _words(_parsed(ladder.ladder_svg(bare)))
    strip_words = " ".join(_words(_parsed(strip.strip_svg(bare))))
    assert "nowhere to land over the whole climb" in strip_words
    assert _parsed(plan_map.map_svg(bare)).get("role") == "img"
    assert _parsed(side.side_svg(bare)).get("role") == "img"


def test_winds_beyond_the_sounding_get_a_dashed_line(outlook: Outlook) -> None:
    plain = ladder.ladder_svg(outlook)
    beyond = replace(outlook, ascent=replace(outlook.ascent, beyond_amsl_m=28_000.0))
    assert "s-guess" not in plain
    assert 'class="s-guess"' in ladder.ladder_svg(beyond)


def test_a_sinking_balloon_is_left_to_the_clock(outlook: Outlook) -> None:
    sinking = Band(
        state="shut",
        from_amsl_m=36_000.0,
        to_amsl_m=30_000.0,
        from_after_launch_s=5520.0,
        to_after_launch_s=6000.0,
        reason="sinks",
    )
    home = replace(outlook.fields[0], bands=(*outlook.fields[0].bands, sinking))
    leaking = replace(outlook, fields=(home, *outlook.fields[1:]))
    assert _rects(_parsed(ladder.ladder_svg(leaking)), data_state="open") == _rects(
        _parsed(ladder.ladder_svg(outlook)), data_state="open"
    )
    assert "shut from 18:12" in _parsed(strip.strip_svg(leaking)).get("aria-label", "")


def test_strip_bars_stand_at_their_times(outlook: Outlook) -> None:
    root = _parsed(strip.strip_svg(outlook))
    look = strip.PAPER
    # from ten minutes before launch to two minutes after the sunset at T+173
    scale = (look.width_px - look.label_px - look.right_px) / (10.0 + 173.0 + 2.0)

    def x(minute: float) -> float:
        return look.label_px + scale * (10.0 + minute)

    first = sorted(_rects(root, data_state="open"))
    home = outlook.fields[0].bands
    assert first[0][0] == pytest.approx(x(home[1].from_after_launch_s / 60.0), abs=0.02)
    # a bar that runs beyond the median burst at T+83 ends there
    assert max(box[0] + box[2] for box in first) == pytest.approx(x(83.0), abs=0.02)
    words = _words(root)
    assert "shut 17:09–17:41" in words
    assert "once open, no minute with nowhere to land" in words
    assert "burst: 1 in 10 by 18:00, half by 18:03, 9 in 10 by 18:05" in words
    assert "sunset 19:33, dusk 20:08" in words


def test_gaps_open_the_bar_of_any_field(samples: ModuleType) -> None:
    root = _parsed(strip.strip_svg(samples.no_release()))
    assert "nowhere to land 17:22–17:28" in _words(root)
    y_any = sorted({box[1] for box in _rects(root, data_state="open")})[4]
    assert len([b for b in _rects(root, data_state="open") if b[1] == y_any]) == 2


def test_the_map_numbers_fields_and_labels_lines_of_reach(outlook: Outlook) -> None:
    words = _words(_parsed(plan_map.map_svg(outlook)))
    assert {"1", "2", "3", "4", "1 from 6", "1 from 12", "1 from 20", "2 from 14"} <= set(words)
    assert "26 release" in words
    assert "full field 1, dashed field 2" in plan_map.map_note(outlook)
    assert "reach" not in plan_map.map_note(replace(outlook, contours=()))


def test_a_field_far_off_does_not_shrink_the_map(outlook: Outlook) -> None:
    far = replace(outlook.fields[0], east_m=-150_000.0, north_m=20_000.0)
    changed = replace(outlook, fields=(far, *outlook.fields[1:]))
    root = _parsed(plan_map.map_svg(changed))
    assert "1, 151 km off" in _words(root)
    usual = _parsed(plan_map.map_svg(outlook))
    bar = [float(e.attrib["x2"]) - float(e.attrib["x1"]) for e in _scale_bars(root)]
    usual_bar = [float(e.attrib["x2"]) - float(e.attrib["x1"]) for e in _scale_bars(usual)]
    assert bar == pytest.approx(usual_bar, rel=0.3)


def _scale_bars(root: ET.Element) -> list[ET.Element]:
    return [e for e in root.iter() if e.attrib.get("stroke-width") == "2.4"]


def test_north_is_up_and_the_scale_is_the_same_both_ways(outlook: Outlook) -> None:
    marks = _rects(_parsed(plan_map.map_svg(outlook)), **{"class": "f-ink"})
    at = {n: (x + w / 2.0, y + h / 2.0) for n, (x, y, w, h) in enumerate(marks, start=1)}
    home, tansy, corrand = at[1], at[2], at[4]
    assert tansy[0] > home[0]  # east of home, so to the right
    assert tansy[1] > home[1]  # south of home, so lower
    ratio_x = (corrand[0] - home[0]) / 47.6
    ratio_y = (corrand[1] - home[1]) / 33.5
    assert ratio_x == pytest.approx(ratio_y, rel=2e-3)


def test_the_side_view_marks_when_home_shuts_and_the_release(outlook: Outlook) -> None:
    words = _words(_parsed(side.side_svg(outlook)))
    assert "17:09 Harrowend shuts" in words
    assert "17:41 no longer shut" in words
    assert "17:55 release by" in words
    assert "quickest: over Harrowend 18:18" in words
    assert "flattest: down 20:42, after the packs" in words
    bare = replace(outlook, side=replace(outlook.side, wind_along=()))
    assert "back" not in _words(_parsed(side.side_svg(bare)))


def test_the_words_of_the_ways_home_stand_off_the_ground_line(outlook: Outlook) -> None:
    # a quickest way that sinks to the ground and stays there: its words keep off the field figures
    low = tuple((along, min(amsl_m, 600.0)) for along, amsl_m in outlook.side.quickest)
    changed = replace(outlook, side=replace(outlook.side, quickest=low))
    root = _parsed(side.side_svg(changed))
    words = {text.text: float(text.get("y", "nan")) for text in root.iter(f"{SVG}text")}
    ground = words["1"] - 14.0
    (label_y,) = [y for text, y in words.items() if text and text.startswith("quickest")]
    # letters reach 0.78 of their size above the baseline and 0.12 below
    assert label_y + 0.12 * side.PAPER.text_px < ground


def test_roles_are_shortened_by_whole_words_and_keep_to_their_column(outlook: Outlook) -> None:
    role = "under the far end of the drift, beside the old road"
    changed = replace(
        outlook,
        fields=(outlook.fields[0], replace(outlook.fields[1], role=role), *outlook.fields[2:]),
    )
    for look in (ladder_frame.PAPER, ladder_frame.PHONE):
        root = _parsed(ladder.ladder_svg(changed, look))
        words = _words(root)
        assert not any("…" in one for one in words)
        first = next(one for one in words if one.startswith("2, "))
        assert f"2, {role}".startswith(first)
        second = words[words.index(first) - 1]  # written from the lowest line up
        assert role.removeprefix(first.removeprefix("2, ")).strip().startswith(second)
        assert second.split()[-1] not in ladder_frame.LINKS


def test_the_words_of_the_burst_stand_apart_in_a_low_chart(outlook: Outlook) -> None:
    for height_px in (270.0, 300.0, 436.0):
        look = replace(ladder_frame.PAPER, height_px=height_px)
        root = _parsed(ladder.ladder_svg(outlook, look))
        at = {e.text: float(e.attrib["y"]) for e in root.iter(f"{SVG}text")}
        ys = [at[words] for words in ("19 in 20", "half", "1 in 20")]
        assert min(b - a for a, b in pairwise(ys)) > 0.8 * look.small_px


def test_a_long_name_of_one_word_is_parted_before_it_is_cut(outlook: Outlook) -> None:
    six = replace(outlook, fields=(*outlook.fields, *outlook.fields[1:3]))
    words = _words(_parsed(ladder.ladder_svg(six)))
    assert "Brack-" in words
    assert "moor" in words
    assert not any("…" in one for one in words)
