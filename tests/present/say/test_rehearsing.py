"""Rehearsing: what happens now and when, the command, the speed, and how it ends."""

import shlex
from dataclasses import replace

import pytest

from farglide.present.say.rehearsing import Rehearsing, begins_words, rehearsing_lines

TOLD = Rehearsing(name="amber.toml", command=("ride amber.toml", "--speed 10"),
                  launch_at="16:40", speed=10.0, how="Type r.")  # fmt: skip


def words(told: Rehearsing) -> str:
    return " ".join(" ".join(rehearsing_lines(told)).split())


def test_all_is_said_at_once() -> None:
    told = words(TOLD)
    for one in (
        "A made-up flight of amber.toml, launched at 16:40 by its own clock.",
        "10 times as fast as life: a minute of it takes 6 s, 2 hours take 12 min.",
        "Begin the ride in a second terminal",
        "The flight begins as soon as the ride hears the tracker",
        "Nothing happens before.",
        "The glider hears you here, not in the ride. Type r.",
        "Ctrl-C ends it before.",
        "Waiting for the ride ...",
    ):
        assert one in told, one
    assert "   farglide ride amber.toml --speed 10" in list(rehearsing_lines(TOLD))


def test_a_crew_of_ours_is_only_looked_at() -> None:
    assert "you only look on" in words(replace(TOLD, how=""))


def test_lines_are_as_wide_as_the_terminal_and_the_command_is_whole() -> None:
    path = "far/away/" * 12
    command = f"farglide ride {path}"
    lines = list(rehearsing_lines(replace(TOLD, command=(f"ride {path}",)), 80))
    assert f"   {command}" in lines
    assert max(len(one) for one in lines if command not in one) <= 80
    assert max(map(len, rehearsing_lines(TOLD))) > 80


PIECES = ("ride src/assets/amber-evening.toml", "--feed tracker=tcp://127.0.0.1:32871",
          "--feed car=tcp://127.0.0.1:35989", "--speed 10", "--log rehearsal.log")  # fmt: skip


@pytest.mark.parametrize("width", [60, 80, 90, 100])
def test_a_command_of_several_lines_copies_whole(width: int) -> None:
    lines = list(rehearsing_lines(replace(TOLD, command=PIECES, goes_on="\\"), width))
    begins = next(k for k, one in enumerate(lines) if one.startswith("   farglide"))
    copied = "\n".join(lines[begins : next(k for k, one in enumerate(lines) if one[:2] == "2.")])
    assert max(map(len, copied.splitlines())) <= width
    assert shlex.split(copied.replace("\\\n", "")) == ["farglide", *" ".join(PIECES).split()]
    assert all(sum(piece in one for one in copied.splitlines()) == 1 for piece in PIECES)


def test_a_shell_that_knows_no_line_that_goes_on_has_the_command_in_one() -> None:
    lines = list(rehearsing_lines(replace(TOLD, command=PIECES), 80))
    assert "   farglide " + " ".join(PIECES) in lines


def test_however_fast_there_is_a_second() -> None:
    assert begins_words(60.0, 100.0).endswith("in 1 s here.")
