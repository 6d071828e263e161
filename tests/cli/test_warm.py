"""Warm-up: after it a plan compiles no kernel of the flight anew; the mark stands for success."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from farglide import kernel
from farglide.cli import warm
from farglide.cli.plan import DEMO

_PLAN = (
    "import sys; from farglide.cli.main import run; "
    "sys.argv = ['farglide', 'plan', {!r}, '--draws', '60']; run()"
)
_WARM = "from farglide.cli.warm import warm_up; warm_up(lambda said: print(said, flush=True))"
Ran = Callable[[str], "subprocess.CompletedProcess[str]"]


@pytest.fixture
def fresh(tmp_path: Path) -> Ran:
    """Return a function that runs Python in a new process with an empty cache."""
    environment = {**os.environ, "FARGLIDE_CACHE": str(tmp_path / "cache")}

    def ran(text: str) -> "subprocess.CompletedProcess[str]":
        done = subprocess.run(
            [sys.executable, "-c", text],
            env=environment,
            cwd=tmp_path,
            capture_output=True,
            text=True,
            timeout=300,
        )
        assert done.returncode == 0, done.stderr
        return done

    return ran


def kernels_below(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*.nbc")}


@pytest.mark.slow
def test_a_plan_after_the_warm_up_compiles_no_flight_anew(fresh: Ran, tmp_path: Path) -> None:
    said = fresh(_WARM).stdout
    assert "compiling the kernels" in said
    before = kernels_below(tmp_path)
    marks = list(tmp_path.rglob("all-compiled"))
    assert len(marks) == 1
    assert fresh(_WARM).stdout == ""
    fresh(_PLAN.format(str(DEMO)))
    new = kernels_below(tmp_path) - before
    # what is left are laws of one line that Python calls while it sets up the column
    folders = {Path(name).parent.name.partition("_")[0] for name in new}
    assert "sim" not in folders
    late = {name for name in new if Path(name).name.startswith(("release.", "ascent."))}
    assert late == set()
    assert len(new) <= 30, sorted(new)


def _half(code: int) -> str:
    return f"raise SystemExit({code})"


@pytest.mark.parametrize(("code", "marked"), [(0, True), (3, False)])
def test_the_mark_is_set_only_when_the_other_half_succeeded(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, code: int, marked: bool
) -> None:
    monkeypatch.setattr(kernel, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr("farglide.sim.warm.compile_flights", lambda: None)
    monkeypatch.setattr(warm, "_HALF", _half(code))
    said: list[str] = []
    warm.warm_up(said.append)
    assert len(said) == 1
    assert kernel.is_warm() is marked
    warm.warm_up(said.append)  # once marked it has nothing to say
    assert len(said) == (1 if marked else 2)


def test_a_half_that_fails_here_leaves_no_mark(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def fails() -> None:
        raise RuntimeError("no compiler")

    monkeypatch.setattr(kernel, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr("farglide.sim.warm.compile_flights", fails)
    monkeypatch.setattr(warm, "_HALF", _half(0))
    with pytest.raises(RuntimeError, match="no compiler"):
        warm.warm_up(lambda _: None)
    assert not kernel.is_warm()
