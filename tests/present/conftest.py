"""The sample plans, as fixtures, and what is read out of a picture."""

import importlib.util
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree as ET

import pytest

from farglide.outlook.outlook import Outlook

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "sample_outlook", Path(__file__).parent / "sample_outlook.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def outlook(samples: ModuleType) -> Outlook:
    made = samples.sample()
    assert isinstance(made, Outlook)
    return made


def parsed(svg: str) -> ET.Element:
    """Return a picture as a tree."""
    return ET.fromstring(svg)


def words_of(root: ET.Element) -> list[str]:
    """Return the words of a picture in their order."""
    return [element.text or "" for element in root.iter(f"{SVG}text")]


def rects(root: ET.Element, **attributes: str) -> list[tuple[float, float, float, float]]:
    """Return left, top, width and height of the boxes with these attributes."""
    found = [
        rect
        for rect in root.iter(f"{SVG}rect")
        if all(rect.get(key.replace("_", "-")) == value for key, value in attributes.items())
    ]
    return [
        (
            float(r.attrib["x"]),
            float(r.attrib["y"]),
            float(r.attrib["width"]),
            float(r.attrib["height"]),
        )
        for r in found
    ]
