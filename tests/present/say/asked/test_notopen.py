"""Not open: a warning for what is shut or doubtful, and nothing for what is open."""

from farglide.present.say.asked.notopen import not_open


def test_only_an_open_field_needs_no_warning() -> None:
    assert not not_open("Mill field", "open", 0.99)
    assert not_open("Mill field", "doubtful", 0.7) == "Mill field is doubtful, let go now: 7 in 10."
    assert not_open("Mill field", "shut", 0.0) == "Mill field is shut, let go now: under 1 in 50."
