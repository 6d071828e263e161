"""Warm-up: after it a plan compiles no kernel of the flight anew; the mark stands for success."""

import importlib
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


@pytest.mark.parametrize("failing", [None, "compile_reach", "compile_flights", "compile_hearing"])
def test_the_mark_is_set_only_when_all_parts_succeeded(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, failing: str | None
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr(warm, "_PART", f"raise SystemExit(3 * ('{{0}}' == '{failing}'))")
    said: list[str] = []
    with warm.warming(said.append) as ready:
        ready()
    assert len(said) == (1 if failing is None else 2)
    assert ("failed" in said[-1]) is (failing is not None)
    assert kernel_store.is_warm() is (failing is None)
    with warm.warming(said.append) as ready:
        ready()  # once marked it has nothing to say
    assert len(said) == (1 if failing is None else 4)


def test_all_parts_exist() -> None:
    for part in warm.PARTS:
        assert callable(getattr(importlib.import_module("farglide.sim.warm"), part))


def test_a_refused_file_leaves_no_process_behind(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr(warm, "_PART", "import time; time.sleep(600)  # {0}")
    begun: list[subprocess.Popen[bytes]] = []
    begin = warm._begun
    monkeypatch.setattr(warm, "_begun", lambda part: begun.append(begin(part)) or begun[-1])
    with pytest.raises(ValueError, match="refused"), warm.warming(lambda _: None):
        raise ValueError("refused")
    assert len(begun) == len(warm.PARTS)
    assert all(part.returncode is not None for part in begun)
    assert not kernel_store.is_warm()
