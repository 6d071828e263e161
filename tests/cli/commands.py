"""What the tests of commands share: the demo's files, and what is looked at in an answer."""

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from farglide.cli.plan import DEMO

WINDS = DEMO.parent / "amber-evening-winds.csv"
GROUND = DEMO.with_name("amber-evening-ground.tif")
FEW = ("--draws", "60")
Said = Callable[..., tuple[int, str, str]]
Document = dict[str, Any]


def changed(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def rms_wind_mps(to_m: float) -> float:
    """Return the root mean square speed of the demo's winds up to a height."""
    with WINDS.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    height_m, wind_mps = ([float(row[name]) for row in rows] for name in ("amsl_m", "wind_mps"))
    even_mps = np.interp(np.arange(height_m[0], to_m, 100.0), height_m, wind_mps)
    return float((even_mps**2).mean() ** 0.5)


def strictly_read(text: str) -> Document:
    """Return a JSON document that holds no NaN and no Infinity."""

    def refuse(word: str) -> float:
        raise AssertionError(f"{word} is no JSON")

    read = json.loads(text, parse_constant=refuse)
    assert isinstance(read, dict)
    return read


def files_below(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def assert_refused(said: tuple[int, str, str], *words: str, progress: bool = False) -> None:
    """One message, exit code 2, nothing on standard output, no trace of the program's inside."""
    code, out, err = said
    assert (code, out) == (2, "")
    assert "Traceback" not in err
    lines = [line for line in err.splitlines() if not (progress and line.startswith("["))]
    assert len(lines) >= 1
    for word in words:
        assert word in err
