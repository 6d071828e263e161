"""Words on lines, and points between two."""

from farglide.present.draw.place import Point, filled, points_between


def test_a_line_holds_as_many_words_as_have_room_and_one_at_least() -> None:
    words = ["The", "Long", "Meadow", "below"]
    assert filled(words, lambda line: len(line) <= 8) == ["The Long", "Meadow", "below"]
    assert filled(words, lambda _: False) == words
    assert filled([], lambda _: True) == []


def test_points_between_begin_at_the_start_and_leave_the_end_out() -> None:
    found = points_between(Point(0.0, 10.0), Point(4.0, 2.0), 4)
    assert found == [Point(0.0, 10.0), Point(1.0, 8.0), Point(2.0, 6.0), Point(3.0, 4.0)]
