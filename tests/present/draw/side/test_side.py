"""The side view: its marks and words where the values say."""

from dataclasses import replace

from farglide.outlook.outlook import Outlook
from farglide.present.draw.side import scale, side

from ...conftest import SVG, parsed, words_of


def test_the_side_view_marks_when_home_shuts_and_the_release(outlook: Outlook) -> None:
    words = words_of(parsed(side.side_svg(outlook)))
    said = " ".join(words)
    assert "17:09 Harrowend shuts" in said
    assert "17:41 no longer shut" in said
    assert "17:55 release by" in said
    assert "quickest: over Harrowend 18:18" in said
    assert "flattest: down 20:42, after the packs" in said
    bare = replace(outlook, side=replace(outlook.side, wind_along=()))
    assert "back" not in words_of(parsed(side.side_svg(bare)))


def test_the_words_of_the_ways_home_stand_off_the_ground_line(outlook: Outlook) -> None:
    # a quickest way that sinks to the ground and stays there: its words keep off the field figures
    low = tuple((along, min(amsl_m, 600.0)) for along, amsl_m in outlook.side.quickest)
    changed = replace(outlook, side=replace(outlook.side, quickest=low))
    root = parsed(side.side_svg(changed))
    texts = [(e.text or "", float(e.get("y", "nan"))) for e in root.iter(f"{SVG}text")]
    (figure_y,) = [y for text, y in texts if text == "1"]
    label_y = max(y for text, y in texts if text.startswith(("quickest", "Harrowend 18:18")))
    # letters reach 0.78 of their size above the baseline and 0.12 below
    assert label_y + 0.12 * scale.PAPER.text_px < figure_y - 15.0


def test_the_exaggeration_that_is_told_is_the_one_that_is_drawn(outlook: Outlook) -> None:
    for look in (scale.PAPER, scale.PHONE):
        root = parsed(side.side_svg(outlook, look))
        at = {e.text: e.attrib for e in root.iter(f"{SVG}text")}
        per_km_up = (float(at["10"]["y"]) - float(at["20"]["y"])) / 10.0
        per_km_along = (float(at["40 km"]["x"]) - float(at["20 km"]["x"])) / 20.0
        told = f"heights drawn {per_km_up / per_km_along:.1f} times as long as distances"
        assert told in at


def test_words_stand_at_the_ends_of_lines_and_on_a_phone_in_a_key(outlook: Outlook) -> None:
    root = parsed(side.side_svg(outlook))
    leaders = [e for e in root.iter(f"{SVG}line") if e.get("stroke-width") == "0.9"]
    assert len(leaders) == 5  # two ways home, home shuts and opens, the release
    phone = parsed(side.side_svg(outlook, scale.PHONE))
    words = words_of(phone)
    assert "a flattest: down 20:42, after the packs" in words
    assert {"a", "b", "c", "d", "e"} <= set(words)
    assert float(phone.attrib["height"]) > scale.PHONE.height_px
