"""What is left out together, and what the fits say without data."""

from dataclasses import replace
from pathlib import Path

import pytest
from bench.odds.made_up import flown
from bench.odds.pairs import pair_of
from bench.odds.told_wind import campaigns, half_of, halves

from bench.odds import data, fits

DAY_H = 24.0
SECOND_HALF_H = 13_170 * DAY_H


def test_darwin_is_left_out_by_halves_of_three_days() -> None:
    for hours, half in ((-1.0, "first"), (1.0, "second")):
        one = replace(flown(5.0, t_h=SECOND_HALF_H + hours), campaign="Darwin")
        assert half_of(one) == f"Darwin, {half} half"
    assert half_of(flown(5.0)) == "made up"


def test_a_pair_across_both_halves_is_no_test_of_either() -> None:
    first, second = (
        replace(flown(5.0, t_h=SECOND_HALF_H + hours), campaign="Darwin") for hours in (-3.0, 3.0)
    )
    across, within = pair_of(first, second), pair_of(second, second)
    assert halves(across) == ("Darwin, first half", "Darwin, second half")
    assert campaigns([across] * 9 + [within] * 5) == ["Darwin, second half"]


def test_without_data_the_fits_tell_how_to_get_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("FARGLIDE_OPEN_DATA", str(tmp_path))
    monkeypatch.setattr("sys.argv", ["fits"])
    data.darwin.cache_clear()
    assert fits.main() == 1
    assert "python -m bench.odds.fetch" in capsys.readouterr().err
