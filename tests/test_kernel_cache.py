"""Kept kernels: a damaged one is compiled anew; a folder that is read-only is no hindrance."""

import os
import pickle
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from farglide import kernel_store
from farglide.kernel_store import cache_folder, is_warm, mark_warm

CODE = """
from farglide.balloon.envelope import _diameter_m as kernel
print(kernel(2.28), sum(kernel.stats.cache_hits.values()), sum(kernel.stats.cache_misses.values()))
"""


def ran(folder: Path, tmp_path: Path, code: str = CODE, **more: str) -> list[str]:
    """Run code in a process of its own: the folder is read when the first kernel is met."""
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True, text=True, cwd=tmp_path,
        env={**os.environ, "FARGLIDE_CACHE": str(folder), **more},
    )  # fmt: skip
    assert (run.returncode, run.stderr) == (0, "")
    return run.stdout.split()


@pytest.mark.slow
def test_a_damaged_kernel_is_thrown_away_and_rebuilt(tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    number, hits, misses = ran(cache, tmp_path)
    assert (hits, misses) == ("0", "1")
    kept = {path: path.read_bytes() for path in cache.rglob("*.nb*") if "_diameter" in path.name}
    assert {path.suffix for path in kept} == {".nbi", ".nbc"}
    for path, whole in kept.items():
        flipped = bytearray(whole)
        flipped[len(whole) // 2] ^= 1
        for damage in (bytes(flipped), whole[: len(whole) // 2], b"", pickle.dumps(print)):
            path.write_bytes(damage)
            assert ran(cache, tmp_path) == [number, "0", "1"]  # compiled anew, the same number
            assert ran(cache, tmp_path) == [number, "1", "0"]  # and kept again


@pytest.mark.slow
@pytest.mark.parametrize("there", [True, False])
def test_where_nothing_can_be_kept_the_answer_is_the_same(tmp_path: Path, there: bool) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    folder = blocked if there else blocked / "deeper"
    temporary = tmp_path / "tmp"
    temporary.mkdir()
    number, hits, misses = ran(folder, tmp_path, TMPDIR=str(temporary))
    assert float(number) == pytest.approx((6.0 * 2.28 / 3.141592653589793) ** (1.0 / 3.0))
    assert (hits, misses) == ("0", "1")
    assert list(temporary.iterdir()) == []  # the folder of this run alone is gone
    assert blocked.read_text() == "in the way"


@pytest.mark.slow
def test_a_full_disk_keeps_nothing_and_stops_nothing(tmp_path: Path) -> None:
    limits = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))"
    number, hits, misses = ran(tmp_path / "cache", tmp_path, limits + CODE)
    assert (hits, misses) == ("0", "1")
    assert ran(tmp_path / "cache", tmp_path) == [number, "0", "1"]


def test_a_read_only_folder_with_every_kernel_is_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FARGLIDE_CACHE", str(tmp_path))
    mark_warm()
    folder = cache_folder()

    def only_read(path: Path, mode: int) -> bool:
        return not mode & os.W_OK and path.exists()

    monkeypatch.setattr(os, "access", only_read)
    assert cache_folder() == folder
    assert is_warm()


def test_one_without_every_kernel_is_replaced_for_this_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FARGLIDE_CACHE", str(tmp_path / "mine"))
    monkeypatch.setattr(os, "access", lambda *_: False)
    monkeypatch.setattr(kernel_store.tempfile, "tempdir", str(tmp_path))
    folder = cache_folder()
    assert not folder.is_relative_to(tmp_path / "mine")
    root = Path(os.environ["FARGLIDE_CACHE"])  # for the processes that are started too
    assert folder.is_relative_to(root)
    assert stat.S_IMODE(root.stat().st_mode) == 0o700  # what is kept is code


def test_without_a_home_folder_kernels_go_into_one_for_this_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def nobody() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.delenv("FARGLIDE_CACHE", raising=False)
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(Path, "home", nobody)
    monkeypatch.setattr(kernel_store.tempfile, "tempdir", str(tmp_path))
    assert cache_folder().is_relative_to(tmp_path)
    monkeypatch.delenv("FARGLIDE_CACHE")  # set just now


def test_a_mark_that_cannot_be_set_is_no_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FARGLIDE_CACHE", str(tmp_path))
    folder = cache_folder()

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "touch", full)
    mark_warm()
    assert list(folder.iterdir()) == []
