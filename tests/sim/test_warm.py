"""Warm: the two halves compile what a plan needs, without a draw flown."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from farglide.sim.reach import N_TERM
from farglide.sim.warm import compile_climb_and_reach, compile_doors_and_passages


def test_the_halves_run_without_a_draw_and_return_nothing() -> None:
    with np.errstate(all="raise"):
        compile_climb_and_reach()
        compile_doors_and_passages()
    assert N_TERM > 1


@pytest.mark.slow
@pytest.mark.parametrize("half", ["compile_climb_and_reach", "compile_doors_and_passages"])
def test_a_half_alone_fills_an_empty_cache(tmp_path: Path, half: str) -> None:
    work = f"from farglide.sim.warm import {half} as work; work()"
    environment = {**os.environ, "FARGLIDE_CACHE": str(tmp_path)}
    done = subprocess.run([sys.executable, "-c", work], env=environment, capture_output=True)
    assert done.returncode == 0, done.stderr
    first = sorted(tmp_path.rglob("*.nbc"))
    assert len(first) > 5
    again = subprocess.run([sys.executable, "-c", work], env=environment, capture_output=True)
    assert again.returncode == 0
    assert sorted(tmp_path.rglob("*.nbc")) == first
