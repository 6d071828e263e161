"""Teller: an advice is told at each change, and every half minute."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.live.advice import ADVICE

from farglide.cli.speaker import Speaker
from farglide.cli.teller import TOLD_S, TYPING_S, Teller
from farglide.outlook.advice import Level


def test_changes_are_told_and_else_half_a_minute_passes(
    capsys: pytest.CaptureFixture[str],
) -> None:
    teller = Teller()
    teller(ADVICE)
    assert capsys.readouterr().out == ""  # on a screen it says nothing
    teller.is_quiet = False
    later = replace(ADVICE, after_launch_s=ADVICE.after_launch_s + TOLD_S - 1.0)
    for advice in (ADVICE, ADVICE, later, replace(later, level=Level.NOW),
                   replace(later, level=Level.NOW, changed="x is shut now")):  # fmt: skip
        teller(advice)
    told = capsys.readouterr().out.splitlines()
    assert [line.split()[1] for line in told] == ["WATCH:", "NOW:", "NOW:"]
    assert "X is shut now." in told[-1]
    teller(replace(later, level=Level.NOW, changed="x is shut now",
                   after_launch_s=later.after_launch_s + TOLD_S))  # fmt: skip
    assert len(capsys.readouterr().out.splitlines()) == 1


def test_who_types_is_not_talked_to_but_for_what_is_urgent(tmp_path: Path) -> None:
    path = tmp_path / "said.txt"
    teller = Teller(Speaker(path))
    teller.launch_t_s = 1_800_000_000.0  # at 08:00

    def said() -> list[str]:
        return path.read_text(encoding="utf-8").splitlines()

    teller.hold("46,5", 100.0)
    teller(ADVICE)
    assert said() == []
    teller.hold("46,5", 100.0 + TYPING_S - 0.1)
    teller(ADVICE)
    assert said() == []
    teller(replace(ADVICE, level=Level.NOW))
    assert said() == ["Release now, for Home strip."]
    teller.hold("46,5", 100.0 + TYPING_S)  # left as it stands
    teller(replace(ADVICE, after_launch_s=ADVICE.after_launch_s + 30.0))
    assert said()[1:] == ["Wait. Window opens at 23.2 kilometres, about 09:08."]
    teller.hold("46,51", 101.0 + TYPING_S)
    teller.hold("", 102.0 + TYPING_S)
    later = replace(ADVICE, after_launch_s=ADVICE.after_launch_s + 60.0, release=None)
    teller(later)
    assert len(said()) == 3
    teller.close()
