"""Room for words."""

from farglide.present.draw.place import Placer, Point, Spot, text_width_px, wrap


def test_wrapped_words_fit_or_end_in_an_ellipsis() -> None:
    for width_px in (30.0, 60.0, 90.0):
        for line in wrap("The Long Meadow below Wether Knap", 12.0, width_px, 2):
            assert text_width_px(line, 12.0, narrow=True) <= width_px
    assert wrap("The Long Meadow below Wether Knap", 12.0, 60.0, 2)[-1].endswith("…")
    assert wrap("", 12.0, 60.0, 2) == []


def test_labels_give_way_to_one_another_and_to_lines() -> None:
    placer = Placer(width_px=200.0, height_px=100.0)
    first = placer.put("one", 12.0, placer.around(100.0, 50.0, 12.0))
    second = placer.put("two", 12.0, placer.around(100.0, 50.0, 12.0))
    assert 'text-anchor="start"' in first
    assert 'text-anchor="end"' in second
    edge = placer.put("three", 12.0, placer.around(195.0, 20.0, 12.0))
    assert 'text-anchor="end"' in edge
    crossed = Placer(width_px=200.0, height_px=100.0)
    crossed.avoid(Point(107.0 + i, 51.0) for i in range(20))
    assert 'text-anchor="end"' in crossed.put("one", 12.0, crossed.farther(100.0, 50.0, 12.0))


def test_an_optional_label_is_left_out_where_it_would_lie_on_another() -> None:
    placer = Placer(width_px=100.0, height_px=40.0)
    spot = [Spot(10.0, 20.0, "start")]
    assert placer.put("first", 12.0, spot, 400.0)
    assert placer.put("second", 12.0, spot, 400.0) == ""
    assert placer.put("second", 12.0, spot)
