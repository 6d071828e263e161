"""What tests of several rooms share: the demo flight, documents to change, the slow twin."""

import copy
import importlib.util
import json
import sys
import tomllib
from collections.abc import Callable
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from farglide.air.column import Sounding
from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import FlightFile, read_flight_file
from farglide.outlook.outlook import Outlook
from farglide.plan.plan import plan
from farglide.present.say.answer import answer_lines
from farglide.report.brief import render_brief
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.sources.winds import read_winds

ASSETS = Path(str(files("farglide.flightfile") / "assets"))

Document = dict[str, Any]
Planned = Callable[[Sortie], Outlook]

DEMO = ASSETS / "amber-evening.toml"


@pytest.fixture(scope="session")
def plain() -> ModuleType:
    """Return plain.py: the laws of the climb written out slowly."""
    spec = importlib.util.spec_from_file_location("plain", Path(__file__).parent / "plain.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules.setdefault("plain", module)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def demo_flight() -> FlightFile:
    """Return the demo flight as its file states it."""
    return read_flight_file(ASSETS / "amber-evening.toml")


@pytest.fixture(scope="session")
def demo_sounding(demo_flight: FlightFile) -> Sounding:
    """Return the winds of the demo flight."""
    return read_winds(ASSETS / "amber-evening-winds.csv", None, demo_flight.sortie.launch.t_s)


@pytest.fixture(scope="session")
def authorities() -> Path:
    """Return the folder of files that others wrote."""
    return Path(__file__).parent / "authorities"


def as_toml(document: dict[str, Any]) -> str:
    """Write a flight document: plain keys, sections, lists of sections."""
    lines: list[str] = []
    for section, table in document.items():
        if isinstance(table, list) and table and all(isinstance(row, dict) for row in table):
            for row in table:
                lines += [f"[[{section}]]", *_keys(row)]
        elif isinstance(table, dict):
            lines += [f"[{section}]", *_keys(table)]
        else:
            lines.insert(0, f"{_text(section)} = {_text(table)}")
    return "\n".join(lines) + "\n"


def _keys(table: dict[str, Any]) -> list[str]:
    return [f"{_text(k)} = {_text(v)}" for k, v in table.items()]


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        escaped = "".join(
            c if c.isascii() and c.isprintable() and c not in '"\\' else f"\\U{ord(c):08x}"
            for c in value
        )
        return f'"{escaped}"'
    if isinstance(value, list):
        return "[" + ", ".join(_text(item) for item in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_text(k)} = {_text(v)}" for k, v in value.items()) + "}"
    return value.isoformat() if hasattr(value, "isoformat") else repr(value)


@pytest.fixture
def document() -> Document:
    """Return the demo flight, to be changed at will."""
    return copy.deepcopy(tomllib.loads(DEMO.read_text(encoding="utf-8")))


@pytest.fixture
def put() -> Callable[[Document, str, Document], Document]:
    """Return a function that changes keys of one section, of its last entry; None takes one out."""

    def change(document: Document, section: str, keys: Document) -> Document:
        table = document.setdefault(section, {})
        table = table[-1] if isinstance(table, list) else table
        for key, value in keys.items():
            table.pop(key, None)
            if value is not None:
                table[key] = value
        return document

    return change


@pytest.fixture
def written(tmp_path: Path) -> Callable[[Document], Path]:
    """Return a function that writes a document and returns the file."""

    def write(document: Document) -> Path:
        path = tmp_path / "flight.toml"
        path.write_text(as_toml(document), encoding="utf-8")
        return path

    return write


@pytest.fixture
def read(written: Callable[[Document], Path]) -> Callable[[Document], FlightFile]:
    """Return a function that reads a document as a flight."""
    return lambda document: read_flight_file(written(document))


@pytest.fixture
def refusals(written: Callable[[Document], Path]) -> Callable[[Document], list[str]]:
    """Return a function that reads a document and returns its problems."""

    def refuse(document: Document) -> list[str]:
        with pytest.raises(FlightFileError) as caught:
            read_flight_file(written(document))
        return [str(problem) for problem in caught.value.problems]

    return refuse


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    """Return the demo without its links: reach, packs and light alone."""
    return replace(demo_flight.sortie, links=(), stands=(), terrain=None)


@pytest.fixture(scope="module")
def planned(demo_sounding: Sounding) -> Planned:
    """Return a function that plans a sortie in the winds of the demo, and shows it to all faces."""

    def make(sortie: Sortie) -> Outlook:
        outlook = plan(sortie, Pack(sounding=demo_sounding), Grain(n_draws=100))
        json.dumps(outlook.document(), allow_nan=False)
        assert "nan" not in "\n".join(answer_lines(outlook)).split()
        assert render_brief(outlook).startswith("<!doctype html>")
        return outlook

    return make


@pytest.fixture(scope="module")
def demo(sortie: Sortie, planned: Planned) -> Outlook:
    """Return the plan of the demo with 100 draws."""
    return planned(sortie)
