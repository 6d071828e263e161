"""The page of flight-file keys: as the script writes it, and every key a section knows is on it."""

import importlib.util
import re
import tomllib
from importlib.resources import files
from pathlib import Path
from types import ModuleType

import pytest

from farglide.errors import Problem
from farglide.flightfile.entered import read_entries
from farglide.flightfile.flightfile import EVERY
from farglide.flightfile.reading.reader import Reader

SECTIONS = {one.name: one.rows for one in EVERY}
ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "flight-file.rst").read_text(encoding="utf-8")
TITLE = re.compile(r"^(\[{1,2}[\w.]+\]{1,2})\n-{3,}\n", re.MULTILINE)
ASSETS = files("farglide.flightfile") / "assets"


def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "make_key_page", ROOT / "scripts" / "make_key_page.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def sections() -> dict[str, str]:
    """Return the page's text by section name, without brackets."""
    parts = TITLE.split(PAGE)
    return {parts[i].strip("[]"): parts[i + 1] for i in range(1, len(parts), 2)}


def test_page_is_up_to_date() -> None:
    assert script().page_text() == PAGE, "run scripts/make_key_page.py"


def test_every_section_has_a_part() -> None:
    assert set(sections()) == set(SECTIONS)


@pytest.mark.parametrize("name", sorted(SECTIONS))
def test_every_number_is_described_in_every_unit(name: str) -> None:
    text = sections()[name]
    for quantity in SECTIONS[name]:
        for key in quantity.keys:
            assert f"``{key}``" in text, f"{name}.{key}"
        assert quantity.says in text


def test_every_key_that_the_reader_knows_is_described(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read a real file and note which keys each section was asked for."""
    known: dict[str, set[str]] = {}
    finish = Reader.finish

    def noted(self: Reader, *rest: dict[str, str]) -> None:
        spreads = {key for key in self.known_keys if "_spread" in key}
        name = re.sub(r"[\[\] \d]", "", self.title)
        known.setdefault(name, set()).update(self.known_keys - spreads)
        finish(self, *rest)

    monkeypatch.setattr(Reader, "finish", noted)
    text = (ASSETS / "amber-evening.toml").read_text(encoding="utf-8")
    document = tomllib.loads(text)
    document["glider"]["timed_glides"] = [{"from_agl_m": 30, "duration_s": 40, "speed_eas_mps": 10}]
    document["launch_places"] = [{"lat_deg": -46.3, "lon_deg": 107.7}]
    document["feeds"] = [{"from": "udp://:5005"}]
    problems: list[Problem] = []
    read_entries(document, EVERY, problems)
    assert not problems
    assert set(known) == set(sections())
    page = sections()
    for name, keys in known.items():
        for key in keys - {"guesses", "typical"}:
            assert f"``{key}``" in page[name], f"{name}.{key}"
    assert 'guesses = ["burst_diameter"]' in PAGE
    assert 'typical = ["drag_factor"]' in PAGE


def test_examples_of_the_page_are_read() -> None:
    """The two spellings of a spread on the page are keys of a section."""
    spreads = {key for rows in SECTIONS.values() for one in rows for key in one.spread_keys}
    for key in re.findall(r"(\w+_spread_\w+) =", PAGE):
        assert key in spreads
