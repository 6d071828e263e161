"""Teller: an advice is told at each change, and every half minute."""

from dataclasses import replace

import pytest
from tests.live.advice import ADVICE

from farglide.cli.teller import TOLD_S, Teller
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
