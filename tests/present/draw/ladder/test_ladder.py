"""The ladder of heights: bands, columns, frame and words where the values say."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from types import ModuleType
from xml.etree import ElementTree as ET

import pytest

from farglide.outlook.fields import Band, State
from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder import frame as ladder_frame
from farglide.present.draw.ladder import ladder
from farglide.present.draw.ladder.heads import LINKS
from farglide.present.draw.strip import strip

from ...conftest import SVG, parsed, rects, words_of


def _scale(root: ET.Element) -> Callable[[float], float]:
    """Return where a height stands, by the figures at the left edge alone."""
    figures = {e.text: float(e.attrib["y"]) for e in reversed([*root.iter(f"{SVG}text")])}
    lift = 0.36 * ladder_frame.PAPER.figure_px
    zero, thirty = figures["0"] - lift, figures["30"] - lift
    return lambda height_km: zero + (thirty - zero) * height_km / 30.0


def _cell(root: ET.Element) -> ET.Element:
    found = root.find(".//*[@data-frame='cell']")
    assert found is not None
    return found


def test_the_ladder_says_one_sentence_for_each_column(outlook: Outlook) -> None:
    label = parsed(ladder.ladder_svg(outlook)).get("aria-label", "")
    assert label.startswith(outlook.verdict)
    for field in outlook.fields:
        assert field.name in label
    assert (
        "Harrowend doubtful to 1.2 km, open to 5.0 km, doubtful to 8.3 km, shut to 19.8 km, "
        "doubtful to 23.4 km, open above." in label
    )
    assert "Brackmoor shut to 3.4 km, doubtful to 4.2 km, open above." in label


def test_bands_stand_at_their_heights(outlook: Outlook) -> None:
    root = parsed(ladder.ladder_svg(outlook))
    y, look = _scale(root), ladder_frame.PAPER
    cell = rects(_cell(root), data_state="open")
    drawn = [box for box in rects(root, data_state="open") if box not in cell]
    first = [box for box in drawn if box[0] == look.left_px]
    # below the cap 59 of 60 have burst: between 0.9673 at 32.0 km and 0.9902 at 32.5
    cap = 32.0 + 0.5 * (59.0 / 60.0 - 0.9673) / (0.9902 - 0.9673)
    expected = [(1.2, 5.0), (23.4, cap)]
    assert len(first) == len(expected)
    for (_, top, _, height), (low, high) in zip(first, expected, strict=True):
        assert top == pytest.approx(y(high), abs=0.02)
        assert height == pytest.approx(y(low) - y(high), abs=0.02)
    hatched = [b for b in rects(root, data_state="doubtful") if b[0] == look.left_px]
    assert [round(box[1], 1) for box in hatched] == [round(y(h), 1) for h in (1.2, 8.3, 23.4)]
    assert len(drawn) == 2 + 2 + 1 + 1  # open bands of the four fields


def test_the_first_column_is_wider_and_no_columns_meet(outlook: Outlook) -> None:
    boxes = sorted(
        {(x, w) for x, _, w, _ in rects(parsed(ladder.ladder_svg(outlook)), data_state="open")}
    )
    assert len(boxes) == 4
    assert boxes[0][1] == pytest.approx(1.18 * boxes[1][1], abs=0.02)
    for (x0, w0), (x1, _) in pairwise(boxes):
        assert x0 + w0 < x1


def test_the_frame_stands_round_the_window_of_the_released_field(outlook: Outlook) -> None:
    root = parsed(ladder.ladder_svg(outlook))
    ((x, y, _, height),) = rects(root, data_frame="window")
    middle = _scale(root)(25.925)  # the middle of 25.4 and 26.45 km
    assert y + height / 2.0 == pytest.approx(middle, abs=0.03)
    assert x == pytest.approx(ladder_frame.PAPER.left_px - 3.5)
    assert {"release, km", "26.1", "25.4"} <= set(words_of(root))

    assert outlook.release is not None
    blind = replace(outlook, release=replace(outlook.release, by_height=False))
    by_clock = set(words_of(parsed(ladder.ladder_svg(blind))))
    assert {"release", "17:54", "17:55"} <= by_clock
    assert "release, km" not in by_clock
    other = replace(outlook, release=replace(outlook.release, field="Corrand"))
    ((x_other, *_),) = rects(parsed(ladder.ladder_svg(other)), data_frame="window")
    assert x_other > x


def test_no_release_draws_no_frame(samples: ModuleType) -> None:
    outlook = samples.no_release()
    assert not rects(parsed(ladder.ladder_svg(outlook)), data_frame="window")
    assert "no release window" in words_of(parsed(strip.strip_svg(outlook)))


def test_clock_times_of_passing_stand_at_the_right_edge(outlook: Outlook) -> None:
    words = words_of(parsed(ladder.ladder_svg(outlook)))
    # 5, 10, 15 and 20 km of the track: T+17.9, 34.3, 49.0 and 62.0 min after 16:40
    for when in ("16:40", "16:57", "17:14", "17:29", "17:41"):
        assert when in words


def test_more_fields_than_columns_are_named_in_words(outlook: Outlook) -> None:
    assert ladder.left_out_words(outlook) == ""
    words = ladder.left_out_words(outlook, ladder_frame.PHONE)
    assert words == "Not drawn here: Corrand; see the clock below."
    drawn = words_of(parsed(ladder.ladder_svg(outlook, ladder_frame.PHONE)))
    assert "Harrowend" in drawn
    assert "Corrand" not in drawn


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
    assert rects(parsed(ladder.ladder_svg(leaking)), data_state="open") == rects(
        parsed(ladder.ladder_svg(outlook)), data_state="open"
    )
    assert "shut from 18:12" in parsed(strip.strip_svg(leaking)).get("aria-label", "")


def test_roles_are_shortened_by_whole_words_and_keep_to_their_column(outlook: Outlook) -> None:
    role = "under the far end of the drift, beside the old road"
    changed = replace(
        outlook,
        fields=(outlook.fields[0], replace(outlook.fields[1], role=role), *outlook.fields[2:]),
    )
    for look in (ladder_frame.PAPER, ladder_frame.PHONE):
        root = parsed(ladder.ladder_svg(changed, look))
        words = words_of(root)
        assert not any("…" in one for one in words)
        first = next(one for one in words if one.startswith("2, "))
        assert f"2, {role}".startswith(first)
        second = words[words.index(first) - 1]  # written from the lowest line up
        assert role.removeprefix(first.removeprefix("2, ")).strip().startswith(second)
        assert second.split()[-1] not in LINKS


def test_the_words_of_the_burst_stand_apart_in_a_low_chart(outlook: Outlook) -> None:
    for height_px in (270.0, 300.0, 436.0):
        look = replace(ladder_frame.PAPER, height_px=height_px)
        root = parsed(ladder.ladder_svg(outlook, look))
        at = {e.text: float(e.attrib["y"]) for e in root.iter(f"{SVG}text")}
        ys = [at[words] for words in ("19 in 20", "5 in 10", "1 in 20")]
        assert min(b - a for a, b in pairwise(ys)) > 0.8 * look.small_px


def test_names_wider_than_their_columns_are_turned_whole_never_parted_or_cut(
    outlook: Outlook,
) -> None:
    six = replace(outlook, fields=(*outlook.fields, *outlook.fields[1:3]))
    root = parsed(ladder.ladder_svg(six))
    turned = [e.text for e in root.iter(f"{SVG}text") if "rotate" in e.get("transform", "")]
    assert turned.count("Brackmoor") == 2
    assert not any("…" in one or one.endswith("-") for one in words_of(root))
    level = parsed(ladder.ladder_svg(outlook))
    assert not [e for e in level.iter(f"{SVG}text") if "rotate" in e.get("transform", "")]


@pytest.mark.parametrize("state", ["open", "doubtful", "shut"])
def test_the_framed_cell_shows_its_state_whole(outlook: Outlook, state: State) -> None:
    home = outlook.fields[0]
    bands = tuple(replace(band, state=state) for band in home.bands)
    changed = replace(outlook, fields=(replace(home, bands=bands), *outlook.fields[1:]))
    for width_m in (1050.0, 100.0):  # as planned, and narrower than its frame
        assert changed.release is not None
        window = replace(changed.release.window, from_amsl_m=25_400.0, to_amsl_m=25_400.0 + width_m)
        framed = replace(changed, release=replace(changed.release, window=window))
        root = parsed(ladder.ladder_svg(framed))
        ((_, y, width, height),) = rects(root, data_frame="window")
        inside = [b for b in rects(_cell(root), data_state=state) if b[2] > 0.0]
        filled = sum(box[2] * box[3] for box in inside)
        within = (width - 7.0) * (height - 7.0)  # from the middle of the frame to its cell
        assert filled == pytest.approx(0.0 if state == "shut" else within, rel=0.02)
        # no dots of the burst in it
        first = root.find(".//{*}clipPath[@id='ladder-1']/..")
        assert first is not None
        dots = [e for g in first.iter(f"{SVG}g") if g.get("data-dots") for e in g]
        rows = [float(e.attrib["d"].split("h")[0].split()[1]) for e in dots]
        assert rows
        assert not [row for row in rows if y + 3.5 < row < y + height - 3.5]


def test_lines_of_the_burst_change_their_paint_on_solid(outlook: Outlook) -> None:
    root = parsed(ladder.ladder_svg(outlook))
    lines = [e for e in root.iter(f"{SVG}line") if e.get("data-burst")]
    # three heights, all four columns open at each of them, and paper between and beside
    solid = [e for e in lines if e.get("data-burst") == "on-solid"]
    assert len(solid) == 12
    assert {e.get("class") for e in solid} == {"s-paper"}
    others = [e for e in lines if e.get("data-burst") == "on-paper"]
    assert {e.get("class") for e in others} == {"s-burst"}
    covers = rects(root, data_state="open")
    for e in others:  # never in its own colour over solid
        y, x = float(e.attrib["y1"]), (float(e.attrib["x1"]) + float(e.attrib["x2"])) / 2.0
        inside = [b for b in covers if b[0] < x < b[0] + b[2] and b[1] < y < b[1] + b[3]]
        assert not inside


def test_packs_are_drawn_in_ink_not_in_the_colour_of_open_fields(samples: ModuleType) -> None:
    root = parsed(ladder.ladder_svg(samples.with_links()))
    column = root.find(".//*[@data-column='packs']")
    assert column is not None
    drawn = [*column.iter(f"{SVG}rect")]
    assert drawn
    assert not [e for e in drawn if "f-open" in e.get("class", "") or e.get("data-state")]
    assert [e for e in drawn if e.get("data-packs") == "open"]
