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
from farglide.cli.told import LINKS, Told

_PLAN = (
    "import sys; from farglide.cli.main import run; "
    "sys.argv = ['farglide', 'plan', {!r}, '--draws', '60']; run()"
)
_WARM = (
    "from farglide.cli.told import Told\n"
    "from farglide.cli.warm import warming\n"
    "with warming(Told(False, ())) as ready: ready()"
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
    said = fresh(_WARM).stderr.splitlines()
    assert all("compiling the kernels, once: " in line for line in said)
    assert "[....................]" in said[0]  # nothing is done yet
    assert "[###" in said[-1]
    assert "#]" not in said[-1]  # and more to come
    assert any("hearing" in line and "climbs" in line for line in said)  # by two, at both ends
    before = kernels_below(tmp_path)
    marks = list(tmp_path.rglob("all-compiled"))
    assert len(marks) == 1
    assert fresh(_WARM).stderr == ""
    fresh(_PLAN.format(str(DEMO)))
    new = kernels_below(tmp_path) - before
    assert new == set()


@pytest.mark.parametrize("failing", [None, 0, -1])
def test_the_mark_is_set_only_when_both_workers_succeeded(
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
    failing: int | None,
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr(warm, "_WORK", f"raise SystemExit(3 * ({{end}} == {failing}))")
    said = _warmed(capsys)
    assert "compiling the kernels, once: begun" in said[0]
    assert ("failed" in said[-2]) is (failing is not None)
    assert "hearing every stand" in said[-1]
    assert kernel_store.is_warm() is (failing is None)
    assert len(_warmed(capsys)) == (1 if failing is None else 3)  # once marked: what is done then


def _warmed(capsys: pytest.CaptureFixture[str]) -> list[str]:
    with warm.warming(Told(False, (LINKS,)), LINKS) as ready:
        ready()
    return capsys.readouterr().err.splitlines()


def test_a_refused_file_leaves_no_process_behind(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    monkeypatch.setattr(warm, "_WORK", "import time; time.sleep(600)  # {end}{claims}{needs}")
    begun: list[subprocess.Popen[bytes]] = []
    begin = warm._begun

    def noted(end: int, claims: str, needs: tuple[str, ...]) -> "subprocess.Popen[bytes]":
        begun.append(begin(end, claims, needs))
        return begun[-1]

    monkeypatch.setattr(warm, "_begun", noted)
    with pytest.raises(ValueError, match="refused"), warm.warming(Told(True, ())):
        raise ValueError("refused")
    assert len(begun) == 2
    assert all(worker.returncode is not None for worker in begun)
    assert not kernel_store.is_warm()


def test_a_ride_compiles_what_a_plan_has_not_and_marks_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setattr(kernel_store, "cache_folder", lambda: tmp_path / "cache")
    asked = tmp_path / "asked"
    monkeypatch.setattr(
        warm, "_WORK", f"open({str(asked)!r}, 'a').write(repr({{needs!r}}) + '\\n')  # {{end}}"
    )
    for wanted, needs in ((2, "('plan', 'ride')"), (2, None), (4, "('ride',)")):
        if needs == "('ride',)":  # a plan alone was compiled for
            (kernel_store.cache_folder() / kernel_store.RIDE_MARK).unlink()
        with warm.warming_ride(Told(False, (LINKS,)), LINKS) as ready:
            ready()
        lines = asked.read_text().splitlines()
        assert len(lines) == wanted
        assert needs is None or lines[-1] == needs
        assert kernel_store.is_warm()
        assert kernel_store.is_warm(kernel_store.RIDE_MARK)
    assert capsys.readouterr().err
