"""README.md shows what the demo really answers, and a picture that fits a page."""

import importlib.util
import struct
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).parents[2]


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "refresh_readme", ROOT / "scripts" / "refresh_readme.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_block_is_the_beginning_of_the_real_answer() -> None:
    refresh = script()
    shown = refresh.readme_block((ROOT / "README.md").read_text(encoding="utf-8")).splitlines()
    answered = refresh.demo_answer().splitlines()
    assert len(shown) > 20
    assert shown == answered[: len(shown)], "run scripts/refresh_readme.py"


def test_picture_is_a_small_portrait_png() -> None:
    data = (ROOT / "docs" / "images" / "brief.png").read_bytes()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = struct.unpack(">II", data[16:24])
    assert 900 <= width <= 1100
    # A4: 297 over 210
    assert abs(height / width - 297.0 / 210.0) < 0.01
    assert len(data) < 250_000
