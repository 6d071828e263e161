"""Faces: shipped whole, measured as drawn, and told what they cannot show."""

import numpy as np
import pytest

from farglide.present.draw.faces import (
    BOLD,
    FAMILY,
    NARROW,
    TOP_EM,
    WEIGHTS,
    Cut,
    clean,
    drawable,
    face,
    folded,
    font_bytes,
    font_css,
    sheet_folded,
    sheet_width_px,
    width_px,
)


@pytest.mark.parametrize("weight", WEIGHTS)
def test_words_are_as_wide_as_they_are_drawn(weight: int) -> None:
    for words in ("Harrowend strip", "1 from 12 km", "fijl WM", "Žé°", "Ålund"):
        if drawable(words) != words:
            continue
        drawn = face(weight, 200.0).getbbox(words, anchor="ls")
        assert drawn[2] - drawn[0] == pytest.approx(
            width_px(words, 200.0, Cut(FAMILY, weight)), abs=14.0
        )


def test_letters_stay_below_their_top() -> None:
    for words in ("HkdbfÄgjpqy", "0123456789", "(),;/"):
        _, top, *_ = face(600, 1000.0).getbbox(words.replace("Ä", ""), anchor="ls")
        assert -top <= TOP_EM * 1000.0 + 1.0


def test_the_faces_travel_inside() -> None:
    for weight in WEIGHTS:
        assert font_bytes(FAMILY, weight)[:4] == b"wOF2"
        assert "data:font/woff2;base64,d09GMg" in font_css(FAMILY, weight)


def test_what_cannot_be_seen_is_left_out() -> None:
    assert clean("a\x00b\x1b[31m \u202ec\u200d\td") == "ab[31m c d"
    assert drawable("Ж水") == "??"
    assert drawable("Łódź") == "?ódz"  # the stroke through it is no accent
    assert width_px("水", 10.0) == 10.0


def test_long_words_are_folded_and_cut() -> None:
    rng = np.random.default_rng(5)
    for _ in range(200):
        words = " ".join("x" * int(n) for n in rng.integers(1, 30, rng.integers(1, 9)))
        lines = folded(words, 12.0, 100.0, 3)
        assert 1 <= len(lines) <= 3
        assert all(width_px(line, 12.0) <= 100.0 for line in lines)
        if not any(line.endswith("…") for line in lines):
            assert " ".join(lines) == words
    assert folded("", 12.0, 100.0, 2) == ()


MEASURED_600 = {"Harrowend": 435.9, "quickest": 343.9, "Wether Knap": 512.0, "in time": 272.0}
"""Of the semi-condensed sans at 100 px, in a browser."""


@pytest.mark.parametrize(("words", "wide_px"), MEASURED_600.items())
def test_words_are_as_wide_as_in_a_browser(words: str, wide_px: float) -> None:
    assert width_px(words, 100.0) == pytest.approx(wide_px, abs=0.1)


def test_figures_of_a_sheet_are_as_wide_as_each_other() -> None:
    assert sheet_width_px("0123456789", 100.0) == pytest.approx(507.0, abs=5.0)  # in a browser


def test_accents_weigh_nothing_and_strange_letters_count_as_wide() -> None:
    assert width_px("e\u0301", 10.0) == width_px("e", 10.0)
    assert width_px("\u1e9c", 10.0) > 0.0
    assert width_px("Ж", 10.0) > width_px("K", 10.0)
    assert width_px("田", 10.0) == 10.0


def test_the_narrow_and_the_bold_cut_have_widths_of_their_own() -> None:
    assert width_px("name", 10.0, NARROW) < width_px("name", 10.0) < width_px("name", 10.0, BOLD)


def test_folded_words_of_a_sheet_fit_or_end_in_an_ellipsis() -> None:
    for wide_px in (30.0, 60.0, 90.0):
        for line in sheet_folded("The Long Meadow below Wether Knap", 12.0, wide_px, 2):
            assert sheet_width_px(line, 12.0, NARROW) <= wide_px
    assert sheet_folded("The Long Meadow below Wether Knap", 12.0, 60.0, 2)[-1].endswith("…")
    assert sheet_folded("", 12.0, 60.0, 2) == ()
