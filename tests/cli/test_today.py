"""Today: the clock of this computer."""

import time

import pytest

from farglide.cli import today


def test_the_clock_is_that_of_the_system(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.undo()
    assert today.now_t_s() == pytest.approx(time.time(), abs=60.0)
    first = today.monotonic_s()
    today.sleep_s(0.0)
    assert today.monotonic_s() >= first
