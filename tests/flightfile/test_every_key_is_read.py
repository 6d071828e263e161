"""Every number that a flight file may hold is read by somebody: none is asked for in vain."""

import ast
from pathlib import Path

import pytest

import farglide
from farglide.flightfile.entries import Section
from farglide.flightfile.flightfile import EVERY

_ROWS = {"needed", "guess", "typical", "choice", "Quantity"}


def _names() -> set[str]:
    """Return all names that the program reads, and all its texts but those of the rows' keys."""
    found: set[str] = set()
    for path in Path(farglide.__file__).parent.rglob("*.py"):
        tree = ast.parse(path.read_text())
        keys = {
            id(node.args[0])
            for node in ast.walk(tree)
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in _ROWS and node.args
        }
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found |= {node.value} if id(node) not in keys else set()
            elif isinstance(node, ast.Attribute):
                found.add(node.attr)
            elif isinstance(node, ast.keyword) and node.arg:
                found.add(node.arg)
    return found


NAMES = _names()


def _is_read(key: str, names: set[str]) -> bool:
    bare = key.removeprefix("sender_").removeprefix("receiver_")
    return any(name == bare or name.startswith(f"{bare}_") for name in names)


@pytest.mark.parametrize("section", EVERY, ids=lambda section: section.name)
def test_every_number_of_a_section_is_read(section: Section) -> None:
    assert [row.key for row in section.rows if not _is_read(row.key, NAMES)] == []


def test_a_key_that_nobody_reads_would_be_found() -> None:
    assert not _is_read("ballast_kg", NAMES)
    assert _is_read("receiver_aim_spread_deg", NAMES)
