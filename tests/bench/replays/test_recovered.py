"""Recovered: the table of what was found beside what was true."""

from bench.replays.recovered import Found, rows_of


def test_rows_tell_how_far_off_and_in_which_errors() -> None:
    found = [
        Found("drag", 1.0, 1.03, 0.03),
        Found("drag", 1.0, 0.96, 0.04),
        Found("jet", 9.0, 9.5, 0.25),
    ]
    drag, jet = rows_of(found, 2)[-2:]
    assert drag.split() == ["drag", "2", "3.5", "%", "4.0", "%", "5", "%", "1.0"]
    assert jet.split() == ["jet", "1", "0.5", "m/s", "0.5", "m/s", "1", "m/s", "2.0"]
