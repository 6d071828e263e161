"""Warm-up: after it a plan compiles no kernel of the flight anew; the mark stands for success."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from farglide import kernel_store
from farglide.cli import warm
from farglide.cli.plan import DEMO

_PLAN = (
    "import sys; from farglide.cli.main import run; "
    "sys.argv = ['farglide', 'plan', {!r}, '--draws', '60']; run()"
)
_WARM = (
    "from farglide.cli.warm import warming\n"
    "with warming(lambda said: print(said, flush=True)) as ready: ready()"
)
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
    assert new == set()


@pytest.mark.parametrize("failing", [None, 0, -1])
def test_the_mark_is_set_only_when_both_workers_succeeded(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, failing: int | None
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr(warm, "_WORK", f"raise SystemExit(3 * ({{end}} == {failing}))")
    said: list[str] = []
    with warm.warming(said.append) as ready:
        ready()
    assert len(said) == (1 if failing is None else 2)
    assert ("failed" in said[-1]) is (failing is not None)
    assert kernel_store.is_warm() is (failing is None)
    with warm.warming(said.append) as ready:
        ready()  # once marked it has nothing to say
    assert len(said) == (1 if failing is None else 4)


def test_a_refused_file_leaves_no_process_behind(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr(warm, "_WORK", "import time; time.sleep(600)  # {end}{claims}")
    begun: list[subprocess.Popen[bytes]] = []
    begin = warm._begun

    def noted(end: int, claims: str) -> "subprocess.Popen[bytes]":
        begun.append(begin(end, claims))
        return begun[-1]

    monkeypatch.setattr(warm, "_begun", noted)
    with pytest.raises(ValueError, match="refused"), warm.warming(lambda _: None):
        raise ValueError("refused")
    assert len(begun) == 2
    assert all(worker.returncode is not None for worker in begun)
    assert not kernel_store.is_warm()
