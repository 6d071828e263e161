"""Room for words."""

from farglide.present.draw.place import text_width_px, wrap


def test_wrapped_words_fit_or_end_in_an_ellipsis() -> None:
    for width_px in (30.0, 60.0, 90.0):
        for line in wrap("The Long Meadow below Wether Knap", 12.0, width_px, 2):
            assert text_width_px(line, 12.0, narrow=True) <= width_px
    assert wrap("The Long Meadow below Wether Knap", 12.0, 60.0, 2)[-1].endswith("…")
    assert wrap("", 12.0, 60.0, 2) == []
