"""Says where the answers of two commits differ: text, document and pictures of the invented flight.

    .venv/bin/python scripts/compare_answers.py OLD [NEW]

Each commit is taken into a temporary folder and asked by the Python this runs in. Keys of the JSON
document that were renamed are compared under their new names. Exit code 1 where anything differs.
"""

import json
import os
import re
import subprocess
import sys
import tarfile
import tempfile
from difflib import unified_diff
from io import BytesIO
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).parents[1]
RENAMED: Final = {"odds_ratio": "chance_ratio", "odds_stand": "chance_stand"}
DRAWS: Final = ("--draws", "300")


def commands(tree: Path, out: Path) -> dict[str, list[str]]:
    """Return the commands that are compared, by name."""
    demo = str(next((tree / "src").rglob("amber-evening.toml")))
    plans = {
        name: ["plan", f"docs/plans/{name}.toml", *DRAWS, "--out", str(out / name)]
        for name in ("giles", "forecast")
    }
    return {
        "demo": ["demo", "--out", str(out / "demo")],
        **plans,
        "links": ["links", demo, "--out", str(out / "links")],
        "fields": ["fields", demo, "--out", str(out / "fields")],
        "check": ["check", demo],
    }


def answers(commit: str, folder: Path) -> dict[str, str]:
    """Return what a commit answers, each text by its name."""
    tree, out = folder / "tree", folder / "out"
    packed = subprocess.run(
        ["git", "archive", commit], cwd=ROOT, check=True, capture_output=True
    ).stdout
    with tarfile.open(fileobj=BytesIO(packed)) as archive:
        archive.extractall(tree, filter="data")
    out.mkdir()
    environment = os.environ | {"PYTHONPATH": str(tree / "src")}
    found = {}
    for name, arguments in commands(tree, out).items():
        ran = subprocess.run(
            [sys.executable, "-m", "farglide", *arguments],
            cwd=tree, env=environment, capture_output=True, text=True, check=False,
        )  # fmt: skip
        found[f"{name}, printed"] = ran.stdout if ran.returncode == 0 else ran.stderr
    for file in sorted(
        path for path in out.rglob("*") if path.suffix in (".json", ".svg", ".html")
    ):
        found[file.relative_to(out).as_posix()] = file.read_text(encoding="utf-8")
    return {name: told.replace(str(folder), "") for name, told in found.items()}


def values(document: Any, key: str = "") -> dict[str, str]:
    """Return every value of a JSON document by its path, renamed keys under their new names."""
    if isinstance(document, dict):
        rows = [(f"{key}.{RENAMED.get(name, name)}", one) for name, one in document.items()]
    elif isinstance(document, list):
        rows = [(f"{key}[{i}]", one) for i, one in enumerate(document)]
    else:
        return {key: json.dumps(document)}
    return {path: told for name, one in rows for path, told in values(one, name).items()}


def differences(name: str, old: str, new: str) -> list[str]:
    """Return the lines that tell how one answer differs; pictures and pages by their size alone."""
    if name.endswith(".json"):
        before, after = values(json.loads(old)), values(json.loads(new))
        keys = sorted(before.keys() | after.keys())
        return [
            f"  {key}: {before.get(key, 'not there')} -> {after.get(key, 'not there')}"
            for key in keys
            if before.get(key) != after.get(key)
        ]
    if name.endswith((".svg", ".html")):
        return [] if old == new else [f"  {len(old)} -> {len(new)} letters"]
    moved = re.compile(r"src/farglide/\w+/assets")  # where the files of the flight stand
    lines = [moved.sub("assets", one).splitlines() for one in (old, new)]
    told = list(unified_diff(*lines, lineterm="", n=0))[2:]
    return [f"  {line}" for line in told if not line.startswith("@@")]


def main(old: str, new: str = "HEAD") -> int:
    """Print every difference; return 1 where there is one."""
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as other:
        before, after = answers(old, Path(one)), answers(new, Path(other))
    n_different = 0
    for name in sorted(before.keys() | after.keys()):
        found = differences(name, before.get(name, ""), after.get(name, ""))
        n_different += bool(found)
        print(f"{name}: {'the same' if not found else ''}", *found, sep="\n" if found else "")
    return int(n_different > 0)


if __name__ == "__main__":
    if not 2 <= len(sys.argv) <= 3:
        raise SystemExit(__doc__)
    raise SystemExit(main(*sys.argv[1:]))
