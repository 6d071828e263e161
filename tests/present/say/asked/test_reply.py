"""A reply in lines: 80 columns, the answer first, the order always the same."""

from farglide.present.say.asked.reply import COLUMNS, Reply, reply_lines


def test_the_order_is_answer_number_until_why_changes_more() -> None:
    reply = Reply("Go.", "1 in 2", "noon", "wind", "rain", (("Car", "home"),))
    told = [line.split() for line in reply_lines(reply)]
    assert [one[0] for one in told] == ["Go.", "Number", "Until", "Why", "Changes", "Car"]


def test_what_is_not_said_leaves_no_line_and_long_words_stay_within_80_columns() -> None:
    reply = Reply("word " * 40, number="number " * 30, more=(("A long label", "x " * 60),))
    lines = reply_lines(reply)
    assert max(map(len, lines)) <= COLUMNS
    assert not any("Until" in line for line in lines)
    assert lines[-1].startswith("           x")
