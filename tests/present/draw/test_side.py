"""The side view: its marks and words where the values say."""

from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.present.draw import side

from ..conftest import SVG, parsed, words_of


def test_the_side_view_marks_when_home_shuts_and_the_release(outlook: Outlook) -> None:
    words = words_of(parsed(side.side_svg(outlook)))
    assert "17:09 Harrowend shuts" in words
    assert "17:41 no longer shut" in words
    assert "17:55 release by" in words
    assert "quickest: over Harrowend 18:18" in words
    assert "flattest: down 20:42, after the packs" in words
    bare = replace(outlook, side=replace(outlook.side, wind_along=()))
    assert "back" not in words_of(parsed(side.side_svg(bare)))


def test_the_words_of_the_ways_home_stand_off_the_ground_line(outlook: Outlook) -> None:
    # a quickest way that sinks to the ground and stays there: its words keep off the field figures
    low = tuple((along, min(amsl_m, 600.0)) for along, amsl_m in outlook.side.quickest)
    changed = replace(outlook, side=replace(outlook.side, quickest=low))
    root = parsed(side.side_svg(changed))
    words = {text.text: float(text.get("y", "nan")) for text in root.iter(f"{SVG}text")}
    ground = words["1"] - 14.0
    (label_y,) = [y for text, y in words.items() if text and text.startswith("quickest")]
    # letters reach 0.78 of their size above the baseline and 0.12 below
    assert label_y + 0.12 * side.PAPER.text_px < ground
