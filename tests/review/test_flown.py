"""Flown: the first and the last mark of a kind."""

from farglide.review.flown import Flown, Marked, What


def test_marks_of_a_kind() -> None:
    marks = tuple(Marked(t_s=t_s, what=What.LOST) for t_s in (1.0, 5.0))
    flown = Flown(path="", is_log=True, is_finished=True, fixes=(), marked=marks)
    assert flown.first(What.LOST) == marks[0]
    assert flown.last(What.LOST) == marks[1]
    assert flown.first(What.BACK) is None
    assert flown.last(What.BACK) is None
