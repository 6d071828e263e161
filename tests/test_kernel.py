"""The compile decorators: a cache named by the sources, NaN that survives, IEEE division."""

import ast
import importlib
import math
import os
import re
import subprocess
import sys
import threading
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import TypeGuard

import numba
import numpy as np
import pytest

import farglide
from farglide import kernel as kernel_module
from farglide import kernel_store
from farglide.arrays import FloatArray
from farglide.kernel import compiled, door, inlined, inner, is_inner
from farglide.kernel_store import cache_folder, sources_hash


def _risky(x: float, y: float) -> float:
    return x / y


@inlined
def _is_known(x: float) -> bool:
    return x == x


@compiled
def _known_or(x: float, other: float) -> float:
    return x if _is_known(x) else other


@compiled
def _sum_known(x: float, y: float) -> float:
    total = 0.0
    for value in (x, y):
        if not math.isnan(value):
            total += value
    return total


def test_nan_survives_the_flags() -> None:
    # The whole of fast-math would let the compiler take x == x for true.
    assert _known_or(math.nan, 3.0) == 3.0
    assert _known_or(2.0, 3.0) == 2.0
    assert _sum_known(math.nan, 4.0) == 4.0
    assert math.isnan(compiled(_risky)(math.nan, 1.0))


def test_infinity_survives_the_flags() -> None:
    divide = compiled(_risky)
    assert divide(1.0, 0.0) == math.inf
    assert divide(-1.0, 0.0) == -math.inf
    assert math.isnan(divide(0.0, 0.0))
    assert divide(1.0, math.inf) == 0.0


def test_a_kernel_gives_what_its_python_gives() -> None:
    assert compiled(_risky)(1.0, 3.0) == _risky(1.0, 3.0)
    assert _known_or.py_func(math.nan, 3.0) == 3.0  # type: ignore[attr-defined]


@inner
def _doubled(values: FloatArray, i: int) -> float:
    return 2.0 * float(values[i])


@inner
def _made(n: int) -> float:
    return float(np.zeros(n)[0])


def test_an_inner_kernel_counts_no_holders_of_its_arrays() -> None:
    values = np.ones(3)
    before = sys.getrefcount(values)
    assert door(_doubled)(values, 1) == 2.0
    assert sys.getrefcount(values) == before


def test_an_inner_kernel_cannot_make_an_array() -> None:
    # were it to pass, numba's `_nrt` would do what it did no longer: arrays would be counted
    with pytest.raises(numba.TypingError, match="empty"):
        door(_made)(3)


class _Watched:
    """A kernel that notes with how much care it is compiled."""

    def __init__(self) -> None:
        self.seen: list[int] = []

    def compile(self, signature: object) -> object:
        self.seen.append(int(numba.config.OPT))
        return signature


def test_a_laned_kernel_alone_is_compiled_with_most_care() -> None:
    usual, kernel = int(numba.config.OPT), _Watched()
    assert kernel_module._with_most_care(kernel).compile("its types") == "its types"
    assert kernel.seen == [3]
    assert int(numba.config.OPT) == usual == 1


def test_two_threads_that_compile_at_once_leave_the_usual_care() -> None:
    usual, seen = int(numba.config.OPT), list[int]()
    inside = [threading.Event(), threading.Event()]
    done = threading.Event()  # the first to begin has ended

    class Slow:
        def __init__(self, i: int) -> None:
            self.i = i

        def compile(self, _: object) -> None:
            inside[self.i].set()
            (inside[1] if self.i == 0 else done).wait(0.2)  # or for nothing, if it is let in alone
            seen.append(int(numba.config.OPT))

    def first() -> None:
        kernel_module._with_most_care(Slow(0)).compile("its types")
        done.set()

    threads = [threading.Thread(target=first)]
    threads[0].start()
    assert inside[0].wait(5.0)
    second = kernel_module._with_most_care(Slow(1))
    threads.append(threading.Thread(target=second.compile, args=("its types",)))
    threads[1].start()
    for thread in threads:
        thread.join()
    assert seen == [3, 3]
    assert int(numba.config.OPT) == usual


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a folder of a few sources that the hash is taken of."""
    for name in ("constants.py", "kernel.py", "fall.py"):
        (tmp_path / name).write_text(f"# {name}\n")
    for name in ("earth", "air", "balloon", "glider", "radio", "atlas", "sim", "report"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "one.py").write_text(f"# {name}\n")
    monkeypatch.setattr(kernel_store, "_PACKAGE", tmp_path)
    return tmp_path


@pytest.mark.parametrize(
    "name", ["constants.py", "kernel.py", "fall.py", "air/one.py", "sim/one.py"]
)
def test_the_hash_changes_with_each_source_of_kernels(copy: Path, name: str) -> None:
    before = sources_hash()
    assert before == sources_hash()
    (copy / name).write_text("# changed\n")
    assert sources_hash() != before


def test_the_hash_changes_with_a_new_and_a_moved_source(copy: Path) -> None:
    before = sources_hash()
    (copy / "sim" / "two.py").write_text("")
    with_new = sources_hash()
    assert with_new != before
    (copy / "sim" / "two.py").rename(copy / "glider" / "two.py")
    assert sources_hash() not in (before, with_new)


def test_the_hash_ignores_what_holds_no_kernel(copy: Path) -> None:
    before = sources_hash()
    (copy / "report" / "one.py").write_text("# changed\n")
    assert sources_hash() == before


def test_a_lost_file_does_not_stop_it(copy: Path) -> None:
    before = sources_hash()
    (copy / "fall.py").unlink()
    assert sources_hash() != before


def test_every_kernel_stands_where_the_hash_looks() -> None:
    package = Path(kernel_store.__file__).parent
    places = (*kernel_store._KERNEL_SOURCES, *kernel_store._KERNEL_FOLDERS)
    for file in package.rglob("*.py"):
        if re.search(
            r"^@(compiled|inner|roomy|laned|inlined|merged|merged_law)$",
            file.read_text(),
            re.MULTILINE,
        ):
            assert file.relative_to(package).parts[0] in places


def test_the_cache_stands_where_it_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("FARGLIDE_CACHE", str(tmp_path / "mine"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    tail = Path("farglide") / "kernels" / sources_hash()
    assert cache_folder() == tmp_path / "mine" / tail
    assert not kernel_store.is_warm()
    monkeypatch.delenv("FARGLIDE_CACHE")
    assert cache_folder() == tmp_path / "xdg" / tail
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    assert cache_folder() == tmp_path / ".cache" / tail


@pytest.mark.slow
def test_a_kernel_is_compiled_into_the_cache_once(tmp_path: Path) -> None:
    # In a process of its own: the folder is read when the first kernel is met.
    code = (
        "from farglide.kernel_store import cache_folder\n"
        "before = any(cache_folder().rglob('*.nbc'))\n"
        "from farglide.balloon.envelope import _diameter_m\n"
        "_diameter_m(2.28)\n"
        "print(before, any(cache_folder().rglob('*.nbc')))\n"
    )
    environment = {**os.environ, "FARGLIDE_CACHE": str(tmp_path)}
    for wanted in ("False True", "True True"):
        run = subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True, text=True, env=environment, check=True, cwd=tmp_path,
        )  # fmt: skip
        assert run.stdout.strip() == wanted


def test_folders_of_the_oldest_sources_are_forgotten(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for k in range(7):
        monkeypatch.setattr(kernel_store, "cache_folder", lambda k=k: tmp_path / f"sources-{k}")
        kernel_store.mark_warm()
        for j in range(k + 1):  # each older than the next, whatever the clock's grain
            mark = tmp_path / f"sources-{j}" / "all-compiled"
            if mark.exists():
                os.utime(mark, (1000.0 + j, 1000.0 + j))
    (tmp_path / "somebody-else").mkdir()
    kernel_store.mark_warm()
    left = sorted(folder.name for folder in tmp_path.iterdir())
    assert left == ["somebody-else", "sources-3", "sources-4", "sources-5", "sources-6"]


_ROOT = Path(farglide.__file__).parent
_KERNELS = {"compiled", "inner", "roomy", "laned", "inlined", "merged", "merged_law"}


def _is_kernel(node: ast.AST, kinds: set[str]) -> TypeGuard[ast.FunctionDef]:
    return isinstance(node, ast.FunctionDef) and any(
        isinstance(mark, ast.Name) and mark.id in kinds for mark in node.decorator_list
    )


def _is_door(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "door"


def _asked_from_python(name: str, tree: ast.Module) -> set[str]:
    """Return the full names that a module uses outside its kernels and imports.

    Without those that it asks a door for.
    """
    homes = {n.name: f"{name}.{n.name}" for n in tree.body if isinstance(n, ast.FunctionDef)}
    for node in tree.body:
        if isinstance(node, ast.ImportFrom):
            homes |= {each.name: f"{node.module}.{each.name}" for each in node.names}
    plain = [n for n in tree.body if not _is_kernel(n, _KERNELS)]
    nodes = [x for n in plain if not isinstance(n, ast.ImportFrom) for x in ast.walk(n)]
    by_doors = {id(part) for x in nodes if _is_door(x) for part in ast.walk(x)}
    asked = set()
    for node in nodes:
        if isinstance(node, ast.Name) and id(node) not in by_doors:
            asked.add(homes.get(node.id, ""))
        elif isinstance(node, ast.Attribute) and id(node) not in by_doors:
            owner = node.value.id if isinstance(node.value, ast.Name) else ""
            asked.add(f"{homes.get(owner, '')}.{node.attr}")
    return asked


@cache
def _modules(folder: Path) -> dict[str, ast.Module]:
    """Return the modules in a folder by their full names."""
    return {
        ".".join(path.relative_to(folder.parent).with_suffix("").parts): ast.parse(
            path.read_text(encoding="utf-8")
        )
        for path in folder.rglob("*.py")
    }


def test_an_inner_kernel_says_so_when_python_calls_it() -> None:
    called = vars(importlib.import_module("farglide.power.convection"))["passing_nusselt"]
    assert is_inner(called)
    assert not is_inner(door(called))
    for given in ((1000.0, 0.7), (), (1, "x", None)):
        with pytest.raises(TypeError, match="passing_nusselt is compiled for other kernels alone"):
            called(*given)
    with pytest.raises(TypeError, match="Python cannot call it"):
        called(reynolds=1000.0, prandtl=0.7)
    assert door(called)(1000.0, 0.7) > 1.0


def _run_plain(node: ast.AST) -> str | None:
    """Return the kernel whose Python an expression takes: KERNEL.py_func, or by getattr."""
    if isinstance(node, ast.Attribute) and node.attr == "py_func":
        taken: ast.AST = node.value
    elif isinstance(node, ast.Call) and any(
        isinstance(one, ast.Constant) and one.value == "py_func" for one in node.args[1:]
    ):
        taken = node.args[0]
    else:
        return None
    return taken.attr if isinstance(taken, ast.Attribute) else getattr(taken, "id", None)


@pytest.mark.slow
def test_nothing_but_kernels_names_an_inner_one() -> None:
    """It is for kernels: where Python needs the law, another function checks what it is given."""
    ours, root = _modules(_ROOT), _ROOT.parents[1]
    outside = {**_modules(root / "tests"), **_modules(root / "bench")}
    kernels = {
        f"{name}.{node.name}": node
        for name, tree in ours.items()
        for node in tree.body
        if _is_kernel(node, _KERNELS)
    }
    inner = {name for name, node in kernels.items() if _is_kernel(node, {"inner", "merged"})}
    assert len(inner) > 90
    for name, tree in {**ours, **outside}.items():
        assert not _asked_from_python(name, tree) & inner, name
    # a kernel that is run as plain Python calls its own kernels from there
    nodes = [node for tree in outside.values() for node in ast.walk(tree)]
    plain = {name for node in nodes if (name := _run_plain(node)) is not None}
    told = {x.value for x in nodes if isinstance(x, ast.Constant) and isinstance(x.value, str)}
    opened = {one for one in told if re.fullmatch(r"_\w+", one)}  # a door is set in
    short = {name.rpartition(".")[2] for name in inner} - opened
    for node in kernels.values():
        if node.name in plain:
            assert not {x.id for x in ast.walk(node) if isinstance(x, ast.Name)} & short, node.name


def test_what_is_handed_over_has_names() -> None:
    """A tuple of a fixed length says nothing of its parts: they belong into a NamedTuple."""
    for name, tree in _modules(_ROOT).items():
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef) and node.name != "check_range":  # low and high
                kinds = [ast.unparse(a.annotation) for a in node.args.args if a.annotation]
                for kind in kinds:
                    unnamed = kind.startswith("tuple[") and not kind.endswith(", ...]")
                    assert not unnamed, (name, node.name, kind)


def _with_arrays(trees: Iterable[ast.Module]) -> set[str]:
    """Return the types, by their short names, that are or hold arrays."""
    fields = {
        node.name: {
            x.id
            for part in node.body
            if isinstance(part, ast.AnnAssign)
            for x in ast.walk(part.annotation)
            if isinstance(x, ast.Name)
        }
        for tree in trees
        for node in tree.body
        if isinstance(node, ast.ClassDef)
    }
    found = {"FloatArray", "SingleArray", "IntArray", "BoolArray", "ByteArray", "NDArray"}
    while more := {name for name, parts in fields.items() if parts & found} - found:
        found |= more
    return found


def test_no_kernel_is_handed_an_array_or_hands_one_back() -> None:
    """It does not count who holds an array: the room would be given up too early, or never."""
    trees = list(_modules(_ROOT).values())
    arrays = _with_arrays(trees)
    assert {"Scene", "Errors", "Tracks"} <= arrays
    kernels = [node for tree in trees for node in tree.body if _is_kernel(node, _KERNELS)]
    gives = {
        node.name
        for node in kernels
        if not _is_kernel(node, {"inlined"})
        for x in ast.walk(node.returns or node)
        if isinstance(x, ast.Name) and node.returns and x.id in arrays
    }
    for node in kernels:
        if not _is_kernel(node, {"roomy", "laned", "inlined"}):
            assert node.name not in gives
            assert not {x.id for x in ast.walk(node) if isinstance(x, ast.Name)} & gives, node.name
